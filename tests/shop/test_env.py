"""Does a wrong value in the environment stop the start with a sentence?"""

import os
import subprocess
import sys

import pytest
from django.conf import settings

from shop import env


def test_words_are_taken_without_their_blanks(monkeypatch):
    monkeypatch.setenv("SHOP_X", "  plum street ")
    assert env.text("SHOP_X") == "plum street"
    monkeypatch.setenv("SHOP_X", " ")
    assert env.text("SHOP_X", "default") == "default"
    monkeypatch.setenv("SHOP_X", "a, b,,c ")
    assert env.words("SHOP_X") == ["a", "b", "c"]


@pytest.mark.parametrize(("said", "is_so"), [("yes", True), ("No", False), ("", True)])
def test_a_flag_is_yes_or_no(monkeypatch, said, is_so):
    monkeypatch.setenv("SHOP_X", said)
    assert env.flag("SHOP_X", default=True) is is_so


@pytest.mark.parametrize("said", ["true", "1", "maybe"])
def test_any_other_flag_stops_the_start(monkeypatch, said):
    monkeypatch.setenv("SHOP_X", said)
    with pytest.raises(env.WrongSetting, match=f"SHOP_X must be yes or no, not '{said}'"):
        env.flag("SHOP_X", default=True)


@pytest.mark.parametrize("said", ["0", "11", "-1", "2.5", "ten", "²"])
def test_a_number_out_of_its_limits_stops_the_start(monkeypatch, said):
    monkeypatch.setenv("SHOP_X", said)
    with pytest.raises(env.WrongSetting, match="whole number from 1 to 10"):
        env.number("SHOP_X", 5, least=1, most=10)


def test_a_secret_may_come_from_a_file_but_not_from_both(monkeypatch, tmp_path):
    (tmp_path / "key").write_text("from the file\n")
    monkeypatch.setenv("SHOP_X_FILE", str(tmp_path / "key"))
    assert env.secret("SHOP_X") == "from the file"

    monkeypatch.setenv("SHOP_X", "from the words")
    with pytest.raises(env.WrongSetting, match="not both"):
        env.secret("SHOP_X")

    monkeypatch.delenv("SHOP_X")
    monkeypatch.setenv("SHOP_X_FILE", str(tmp_path / "none"))
    with pytest.raises(env.WrongSetting, match="cannot be read"):
        env.secret("SHOP_X")


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("SHOP_DEBUG", "perhaps", "SHOP_DEBUG must be yes or no, not 'perhaps'."),
        ("SHOP_TIME_ZONE", "Mars", "SHOP_TIME_ZONE must be a name like Europe/Lisbon, not 'Mars'."),
    ],
)
def test_a_wrong_setting_ends_in_a_sentence_not_a_traceback(tmp_path, name, value, sentence):
    answer = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=settings.ROOT,
        env={**os.environ, "SHOP_DATA": str(tmp_path), name: value},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )

    assert answer.returncode == 1
    assert answer.stderr.strip() == sentence
