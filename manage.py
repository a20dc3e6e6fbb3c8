#!/usr/bin/env python3
"""Which command? On a machine that has only Python, this first makes .venv from the pinned, hashed lock file."""

import gc
import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "tierwright.sha256"  # fingerprint of the lock file .venv was made from; written last
LOCK = ROOT / "shop" / "requirements" / "lock.txt"
TEST_LOCK = (
    ROOT / "shop" / "requirements" / "test.txt"
)  # everything in LOCK, and what the tests need
OLDEST = (3, 11)


def fingerprint(lock):
    return hashlib.sha256(lock.read_bytes()).hexdigest()


def venv_python():
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def step(command, otherwise):
    """Run one step of the set-up; stop with a sentence if it fails."""
    if subprocess.run(command, check=False).returncode:
        sys.exit(f"{otherwise}\nThe lines above say why. Then run the same command again.")


def make_venv(lock, wanted, found):
    """Bring .venv to what the lock file says. Killed at any point, the next run does it again."""
    if wanted == fingerprint(TEST_LOCK) and found == fingerprint(LOCK):
        print("Adding what the tests need to .venv (about half a minute) ...", flush=True)
        STAMP.unlink()
    else:
        try:
            import ensurepip  # noqa: F401  Debian ships it apart, so its absence is told in our words
        except ImportError:
            version = ".".join(map(str, sys.version_info[:2]))
            sys.exit(
                "This Python has no module for making environments (venv, ensurepip).\n"
                f"On Debian or Ubuntu: apt install python3-venv (or python{version}-venv). Then run this again."
            )
        print("First run: installing packages into .venv (about half a minute) ...", flush=True)
        step(
            [sys.executable, "-m", "venv", "--clear", str(VENV)],
            f"Could not make {VENV}. Is the folder writable, and is there room on the disk?",
        )
    step(
        [str(venv_python()), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
         "--require-hashes", "--only-binary=:all:", "-r", str(lock)],
        f"Could not install the packages of {lock.relative_to(ROOT)}. Is this machine on the network?",
    )  # fmt: skip
    STAMP.write_text(wanted, encoding="ascii")


def enter_venv(arguments):
    """Carry on with the same command inside .venv, making it first where it is missing or out of date."""
    testing = arguments[1:2] in (["test"], ["checks"])
    lock = TEST_LOCK if testing else LOCK
    good_enough = (
        {fingerprint(TEST_LOCK)} if testing else {fingerprint(TEST_LOCK), fingerprint(LOCK)}
    )
    found = STAMP.read_text(encoding="ascii").strip() if STAMP.exists() else ""
    if found not in good_enough or not venv_python().exists():
        make_venv(lock, fingerprint(lock), found if venv_python().exists() else "")
    command = [str(venv_python()), *arguments]
    if os.name == "nt":  # no exec there: it would come back to the prompt at once
        sys.exit(subprocess.run(command, check=False).returncode)
    os.execv(command[0], command)


def data_folder(arguments):
    """The folder after --data of `start`: settings need it before any command is read."""
    for at, argument in enumerate(arguments):
        if argument == "--data" and at + 1 < len(arguments):
            return arguments[at + 1]
        if argument.startswith("--data="):
            return argument.removeprefix("--data=")
    return None


def main():
    if sys.version_info < OLDEST:
        sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    from shop import env  # after the check above: an older Python could not read it

    if sys.prefix == sys.base_prefix and not env.flag("SHOP_NO_BOOTSTRAP", default=False):
        enter_venv(sys.argv)
    if sys.argv[1:2] == ["work_up"]:
        # A job of two seconds that ends with its process: looking again and again for rubbish among
        # modules, classes and fonts that last anyway was a tenth of it, and freed nothing (90 MB either way).
        gc.disable()
    folder = data_folder(sys.argv) if sys.argv[1:2] == ["start"] else None
    if folder is not None:
        env.hand_on("SHOP_DATA", folder)
    env.hand_on("DJANGO_SETTINGS_MODULE", "shop.settings", only_if_missing=True)
    try:
        from django.core.management import execute_from_command_line  # not there before .venv is
    except ImportError:
        sys.exit(
            "Django is not installed in this environment. Its packages: shop/requirements/lock.txt"
        )
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
