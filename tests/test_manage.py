"""Does the first command on a new machine set itself up, once, and again after it was cut short?"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import manage

ROOT = Path(__file__).resolve().parent.parent
OUTSIDE = str(Path(sys.base_prefix) / ("python.exe" if os.name == "nt" else "bin/python3"))
SETTING_UP = "First run: installing packages"
ADDING = "Adding what the tests need"
INSIDE = "Django is not installed in this environment"  # the trial lock files are empty


@pytest.fixture
def copy(tmp_path):
    """manage.py in a folder of its own, with lock files that hold nothing to fetch."""
    (tmp_path / "shop" / "requirements").mkdir(parents=True)
    for name in ("manage.py", "shop/env.py"):
        shutil.copy(ROOT / name, tmp_path / name)
    (tmp_path / "shop" / "__init__.py").write_text("")
    (tmp_path / "shop" / "requirements" / "lock.txt").write_text("# nothing\n")
    (tmp_path / "shop" / "requirements" / "test.txt").write_text("# nothing for tests either\n")
    return tmp_path


def said(folder, command, **environment):
    kept = {name: value for name, value in os.environ.items() if name != "VIRTUAL_ENV"}
    done = subprocess.run(
        [OUTSIDE, "manage.py", command],
        cwd=folder, env={**kept, **environment}, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    return done.stdout + done.stderr


def test_it_is_set_up_once_and_again_only_when_it_must_be(copy):
    stamp, kept = copy / ".venv" / "tierwright.sha256", copy / ".venv" / "kept"

    first = said(copy, "start")
    assert SETTING_UP in first
    assert INSIDE in first
    assert stamp.exists()

    kept.write_text("")
    assert SETTING_UP not in said(copy, "start")

    for_tests = said(copy, "test")  # the larger lock is put on top
    assert ADDING in for_tests
    assert SETTING_UP not in for_tests
    again = said(copy, "start")  # and is good enough for the shop
    assert ADDING not in again + said(copy, "test")
    assert SETTING_UP not in again
    assert kept.exists()

    stamp.unlink()  # as after a kill halfway
    assert SETTING_UP in said(copy, "start")
    assert not kept.exists()

    (copy / "shop" / "requirements" / "lock.txt").write_text(
        f"tierwright-has-no-such-package==1 --hash=sha256:{'0' * 64}\n"
    )
    changed = said(copy, "start", PIP_NO_INDEX="1")
    assert SETTING_UP in changed
    assert "Could not install the packages of shop/requirements/lock.txt" in changed
    assert "run the same command again" in changed
    assert not stamp.exists()


def test_an_environment_somebody_chose_is_left_alone(copy):
    assert INSIDE in said(copy, "start", SHOP_NO_BOOTSTRAP="yes")
    assert not (copy / ".venv").exists()


def test_too_old_a_python_is_told_which_is_needed(monkeypatch):
    monkeypatch.setattr(manage, "OLDEST", (99, 0))
    with pytest.raises(SystemExit, match=r"Python 3\.11 or newer is needed; this is 3\."):
        manage.main()


def test_a_python_without_the_venv_module_is_told_what_to_install(monkeypatch, copy):
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    monkeypatch.setattr(manage, "VENV", copy / ".venv")
    with pytest.raises(SystemExit, match="apt install python3-venv"):
        manage.make_venv(manage.LOCK, manage.fingerprint(manage.LOCK), "")


@pytest.mark.parametrize(
    ("words", "folder"),
    [
        (["manage.py", "start", "--data", "/a"], "/a"),
        (["manage.py", "start", "--data=/a"], "/a"),
        (["manage.py", "start", "--data"], None),
        (["manage.py", "start"], None),
    ],
)
def test_the_data_folder_is_read_before_the_settings(words, folder):
    assert manage.data_folder(words) == folder
