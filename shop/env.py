"""What does the environment say? The only reader of it: a wrong value stops the start with a sentence."""

import os
from pathlib import Path
from urllib.parse import urlsplit


class WrongSetting(SystemExit):
    """A setting nobody can start with. Ends the program with its sentence, without a traceback."""


def text(name: str, default: str = "") -> str:
    """The words of that name, without blanks around them; `default` where it is not set or empty."""
    return os.environ.get(name, "").strip() or default


def words(name: str, default: tuple[str, ...] = ()) -> list[str]:
    """Comma-separated words."""
    return [word.strip() for word in text(name).split(",") if word.strip()] or list(default)


def flag(name: str, *, default: bool) -> bool:
    """yes or no."""
    said = text(name).lower()
    if said in ("yes", "no"):
        return said == "yes"
    if said:
        raise WrongSetting(f"{name} must be yes or no, not {said!r}.")
    return default


def number(name: str, default: int, *, least: int, most: int) -> int:
    """A whole number between two limits."""
    said = text(name)
    if not said:
        return default
    if not (said.isascii() and said.isdigit() and least <= int(said) <= most):
        raise WrongSetting(f"{name} must be a whole number from {least} to {most}, not {said!r}.")
    return int(said)


def address(name: str, default: str) -> str:
    """The beginning of a web address, without a slash at its end: https://cakes.example."""
    said = text(name, default).rstrip("/")
    parts = urlsplit(said)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.query or parts.fragment:
        raise WrongSetting(f"{name} must be like https://cakes.example, not {said!r}.")
    return said


def secret(name: str) -> str:
    """Words that must not be seen in a process list: from NAME, or from the file that NAME_FILE names."""
    said, file_name = text(name), text(f"{name}_FILE")
    if said and file_name:
        raise WrongSetting(f"Set {name} or {name}_FILE, not both.")
    if not file_name:
        return said
    try:
        kept = Path(file_name).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise WrongSetting(f"{name}_FILE cannot be read: {error}") from error
    if not kept:
        raise WrongSetting(f"{name}_FILE names an empty file: {file_name}")
    return kept


def hand_on(name: str, value: str, *, only_if_missing: bool = False) -> None:
    """Set it for the settings and for the processes started from here."""
    if not (only_if_missing and os.environ.get(name)):
        os.environ[name] = value
