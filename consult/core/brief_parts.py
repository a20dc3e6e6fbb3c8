"""How is one part of a brief read? Each value checked and, if it is wrong, noted by its path; never more than noted."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Protocol, TypeVar

from consult.core.colour_names import COLOUR_NAMES
from consult.core.design import Problem
from consult.core.palette import name_of

Value = TypeVar("Value")

HEX = re.compile(r"#[0-9a-fA-F]{6}")
EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")
SHOWN = 60  # letters of a wrong value that are said back


class Named(Protocol):
    """Anything of the catalogue."""

    @property
    def code(self) -> str: ...

    @property
    def name(self) -> str: ...


def said_back(value: object) -> str:
    """A wrong value in short, so that it can be found in the file."""
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"


def decimal_of(value: object) -> Decimal | None:
    """A JSON number as an exact decimal; None for anything else, not-a-number and infinity."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return None
    exact = Decimal(str(value))
    return exact if exact.is_finite() else None


@dataclass(frozen=True, slots=True)
class Part:
    """An object of the brief: its path, its values, and the list of problems that all parts share.

    Every reader gives a default for what is absent or wrong, so that reading always goes on to the
    end; a brief with problems is never used.
    """

    path: str
    values: Mapping[str, object]
    problems: list[Problem]

    def where(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def refuse(self, key: str, says: str) -> None:
        self.problems.append(Problem(self.where(key), says))

    def has(self, key: str) -> bool:
        return key in self.values

    def text(self, key: str, most: int, least: int = 0) -> str:
        """Words of at most so many letters; "" when absent."""
        value = self.values.get(key, "")
        if not isinstance(value, str):
            self.refuse(key, "must be text")
            return ""
        value = value.strip()
        if any(ord(letter) < 32 and letter not in "\n\t" for letter in value):
            self.refuse(key, "must not hold control characters")
            return ""
        if len(value) > most:
            self.refuse(key, f"must be at most {most} letters")
        elif self.has(key) and len(value) < least:
            self.refuse(key, "must not be empty")
        return value

    def email(self, key: str) -> str:
        value = self.text(key, 254)
        if value and not EMAIL.fullmatch(value):
            self.refuse(key, f"{said_back(value)} is not an e-mail address")
        return value

    def whole(self, key: str, least: int, most: int, default: int = 0) -> int:
        """A whole number from `least` to `most`."""
        if not self.has(key):
            return default
        value = self.values[key]
        exact = decimal_of(value)
        if exact is None or exact != exact.to_integral_value():
            self.refuse(key, f"must be a whole number, {least} to {most}")
            return default
        if not least <= exact <= most:
            self.refuse(key, f"must be {least} to {most}")
            return default
        return int(exact)

    def decimal(
        self, key: str, fits: Callable[[Decimal], bool], says: str, default: Decimal
    ) -> Decimal:
        """A number for which `fits` holds; `says` is what it must be."""
        if not self.has(key):
            return default
        value = decimal_of(self.values[key])
        if value is None or not fits(value):
            self.refuse(key, f"must be {says}")
            return default
        return value

    def flag(self, key: str) -> bool:
        value = self.values.get(key, False)
        if not isinstance(value, bool):
            self.refuse(key, "must be true or false")
            return False
        return value

    def one_of(self, key: str, words: Mapping[str, Value], default: Value) -> Value:
        """The value one of the words stands for; what the words are is said when it is none."""
        if not self.has(key):
            return default
        value = self.values[key]
        found = words.get(value) if isinstance(value, str) else None
        if found is None:
            listed = ", ".join(f'"{word}"' for word in words)
            self.refuse(key, f"must be one of {listed}")
            return default
        return found

    def chosen(self, key: str, things: Iterable[Named], noun: str) -> str:
        """The code of what is chosen by its code or its name, capitals or not; "" when absent."""
        things = tuple(things)
        if not self.has(key):
            return ""
        value = self.values[key]
        if isinstance(value, str):
            asked = value.strip().casefold()
            for thing in things:
                if asked in (thing.code.casefold(), thing.name.casefold()):
                    return thing.code
        listed = ", ".join(thing.name for thing in things) or "none"
        self.refuse(key, f"no {noun} is called {said_back(value)}; there are: {listed}")
        return ""

    def colour(self, key: str) -> tuple[str, str]:
        """A colour as hex and in words, from "#c9d2bd" or a plain colour word; ("", "") when absent."""
        if not self.has(key):
            return "", ""
        value = self.values[key]
        if isinstance(value, str):
            asked = value.strip().lower()
            if HEX.fullmatch(asked):
                return asked, name_of(asked)
            if asked in COLOUR_NAMES:
                return COLOUR_NAMES[asked], asked
        self.refuse(
            key,
            f'{said_back(value)} is no colour; write it like "#c9d2bd" or "ivory" or "charcoal"',
        )
        return "", ""

    def day(self, key: str) -> date | None:
        if not self.has(key):
            return None
        value = self.values[key]
        try:
            if isinstance(value, str):
                return date.fromisoformat(value)
        except ValueError:
            pass  # said below, as for what is no text at all
        self.refuse(key, 'must be a day that exists, like "2027-05-15"')
        return None

    def hour(self, key: str, on: date | None) -> time | None:
        """A local time like "11:30"; the whole instant is taken too if it is on that day."""
        if not self.has(key):
            return None
        value = self.values[key]
        if not isinstance(value, str):
            self.refuse(key, 'must be a time like "11:30"')
            return None
        try:
            if "T" not in value:
                at = time.fromisoformat(value)
                moment = None
            else:
                moment = datetime.fromisoformat(value)
                at = moment.time()
        except ValueError:
            self.refuse(key, 'must be a time like "11:30"')
            return None
        if at.tzinfo is not None or (moment is not None and moment.tzinfo is not None):
            self.refuse(key, "must be the shop's own time, without a zone")
            return None
        if moment is not None and on is not None and moment.date() != on:
            self.refuse(key, f"must be on the day of the event, {on.isoformat()}")
            return None
        return at

    def items(self, key: str, most: int) -> list[object]:
        """A list of at most so many entries; empty when absent."""
        value = self.values.get(key, [])
        if not isinstance(value, list):
            self.refuse(key, "must be a list")
            return []
        if len(value) > most:
            self.refuse(key, f"must have at most {most} entries")
            return []
        return value

    def part(self, key: str, needs: Iterable[str], may: Iterable[str] = ()) -> "Part":
        """The object under that key; empty, with nothing more said, when it is absent."""
        if not self.has(key):
            return Part(self.where(key), {}, self.problems)
        return part_of(self.values[key], self.where(key), self.problems, needs, may)


def part_of(
    raw: object,
    path: str,
    problems: list[Problem],
    needs: Iterable[str],
    may: Iterable[str] = (),
) -> Part:
    """`raw` as an object with every key of `needs`, perhaps some of `may`, and no other."""
    needs, may = tuple(needs), tuple(may)
    if not isinstance(raw, dict):
        problems.append(Problem(path or "brief", "must be an object"))
        return Part(path, {}, problems)
    part = Part(path, raw, problems)
    for key in raw:
        if key not in needs and key not in may:
            listed = ", ".join((*needs, *may))
            part.refuse(key, f"is not known here; known are: {listed}")
    for key in needs:
        if key not in raw:
            part.refuse(key, "is missing")
    return part
