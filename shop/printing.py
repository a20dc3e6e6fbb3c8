"""Which letters can no paper print? Whoever makes the papers says so when the program starts."""

from collections.abc import Callable

Checker = Callable[[str], frozenset[str]]

_checkers: list[Checker] = []


def ask_of(checker: Checker) -> None:
    """From now on this is asked, in place of whatever was."""
    _checkers[:] = [checker]


def not_printed(text: str) -> str:
    """A sentence for the owner where the text holds letters that no font here has; else ""."""
    letters = sorted({letter for checker in _checkers for letter in checker(text)})
    if not letters:
        return ""
    named = " ".join(letters)
    return f"No font here can print {named}: a paper shows ? in its place."
