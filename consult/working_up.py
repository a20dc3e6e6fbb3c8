"""From a brief in a file to its result and its papers, with the same core and papers as the pages."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from consult.bench_papers import PAPERS, printed
from consult.core.bench import Bench, bench_of
from consult.core.brief_file import BriefFile, as_for_stacks, read_brief, with_stack
from consult.core.design import Brief, Design, PhotoRef, Problem, Swatch
from consult.core.palette import palette
from consult.core.reckoning import Reckoning, reckon, stack_costs
from consult.core.result import result_of, stacks_result
from consult.core.servings import servings_needed
from consult.core.sheet_making import deposit_request_of, sheet_of
from consult.core.signing import fingerprint
from consult.core.stacks import Stack, chosen, stacks, why_none
from consult.documents.deposit_request import deposit_request
from consult.documents.design_sheet import design_sheet
from consult.photos import MOST_BYTES, BadPhoto, clean, for_print, pixels_of
from shop.core.book import ShopBook, digest

RESULT, SHEET, DEPOSIT = "result.json", "design_sheet.pdf", "deposit_request.pdf"
OUR_PAPERS = (SHEET, DEPOSIT, *(f"{name}.pdf" for name in PAPERS))
MOST_BRIEF_BYTES = 1_000_000  # a whole brief is a few thousand; our own bound, no source


class Refused(Exception):
    """The brief cannot be worked up; `problems` say everything that is wrong, by path."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(f"{problem.where}: {problem.says}" for problem in problems))
        self.problems = tuple(problems)


@dataclass(frozen=True)
class WorkedUp:
    """What is written: the result, and each paper by its file name. No reckoning with stacks only."""

    result: dict[str, Any]
    papers: Mapping[str, bytes]
    reckoning: Reckoning | None


@dataclass(frozen=True)
class BroughtPhoto:
    """A picture as it will be printed, and what the design says of it."""

    ref: PhotoRef
    printed: bytes


def brief_in(path: Path) -> object:
    """The JSON of a brief file. Refused if it cannot be read, is no JSON or says a key twice."""
    try:
        if path.stat().st_size > MOST_BRIEF_BYTES:
            raise Refused([Problem("brief", f"{path} is too large to be a brief")])
        return json.loads(
            path.read_text(encoding="utf-8-sig"),
            parse_float=Decimal,
            parse_constant=_no_number,
            object_pairs_hook=_each_key_once,
        )
    except OSError as error:
        raise Refused([Problem("brief", f"{path} cannot be read: {error.strerror}")]) from error
    except (ValueError, RecursionError) as error:
        raise Refused([Problem("brief", f"{path} is not JSON: {error}")]) from error


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")


def _each_key_once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    keys = [key for key, _ in pairs]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise ValueError(f"{twice[0]!r} is there twice")
    return dict(pairs)


def _photos(raw: object, folder: Path) -> tuple[list[BroughtPhoto], list[Problem]]:
    """The pictures that a brief names, beside it in `folder`, and what is wrong with any of them."""
    named = raw.get("photos", []) if isinstance(raw, dict) else []
    brought: list[BroughtPhoto] = []
    problems = []
    for at, name in enumerate(named if isinstance(named, list) else []):
        if not isinstance(name, str) or not name.strip() or "\0" in name:
            continue  # said when the brief is read
        try:
            photo = _photo(folder / name)
        except BadPhoto as error:
            problems.append(Problem(f"photos[{at}]", error.sentence))
        except OSError as error:
            problems.append(Problem(f"photos[{at}]", f"{name} cannot be read: {error.strerror}"))
        else:
            if photo.ref.sha256 not in (other.ref.sha256 for other in brought):
                brought.append(photo)
    return brought, problems


def _photo(path: Path) -> BroughtPhoto:
    size = path.stat().st_size
    if size > MOST_BYTES:
        most = MOST_BYTES // 2**20
        raise BadPhoto(f"This photo is {size / 2**20:.0f} MB; the most we can take is {most} MB.")
    picture = clean(path.read_bytes())
    swatches = palette(pixels_of(picture.jpeg))
    return BroughtPhoto(PhotoRef(picture.sha256, "", swatches), for_print(picture.jpeg))


def work_up(
    raw: object,
    book: ShopBook,
    today: date,
    *,
    folder: Path,
    booked: Mapping[date, int],
    stacks_only: bool = False,
) -> WorkedUp:
    """The result and papers of the brief in `raw`; photos lie beside it in `folder`.

    Raises Refused with every error at once.
    """
    read = read_brief(raw, book, today, stacks_only=stacks_only)
    if stacks_only:
        return _only_stacks(_or_refused(read), book, today)
    brought, problems = _photos(raw, folder)
    read = _or_refused(read, problems)
    for_search = as_for_stacks(read, book)
    offered = stacks(for_search, book, stack_costs(for_search, book, today))
    brief = _with_photos(_settled(read, offered, book), brought)
    reckoning = reckon(brief, book, today, booked)
    if reckoning.in_the_way:
        raise Refused([_by_path(problem) for problem in reckoning.in_the_way])
    bench = bench_of(brief, book, reckoning.work, today, booked)
    return _on_paper(read, brief, book, reckoning, bench, offered, brought, today)


def _or_refused(read: BriefFile | tuple[Problem, ...], more: Sequence[Problem] = ()) -> BriefFile:
    if isinstance(read, BriefFile) and not more:
        return read
    raise Refused([*(() if isinstance(read, BriefFile) else read), *more])


def _only_stacks(read: BriefFile, book: ShopBook, today: date) -> WorkedUp:
    brief = as_for_stacks(read, book)
    offered = stacks(brief, book, stack_costs(brief, book, today))
    need = servings_needed(brief.need, book).count
    result = stacks_result(brief, book, read.units, need, offered)
    if not offered:
        result["none_because"] = why_none(brief, book)
    return WorkedUp(result, {}, None)


def _settled(read: BriefFile, offered: Sequence[Stack], book: ShopBook) -> Brief:
    """The brief with tiers: those given, or those of the stack it names."""
    if read.stack is None:
        return read.brief
    if not offered:
        raise Refused([Problem("design.stack", why_none(read.brief, book))])
    stack = chosen(offered, read.stack)
    brief = with_stack(read, stack.tiers, stack.kitchen_cakes, book)
    if isinstance(brief, tuple):
        raise Refused(brief)
    return brief


def _with_photos(brief: Brief, brought: Sequence[BroughtPhoto]) -> Brief:
    design = replace(
        brief.design,
        photos=tuple(photo.ref for photo in brought),
        swatches=_colours_chosen(brief.design),
    )
    return replace(brief, design=design)


def _colours_chosen(design: Design) -> tuple[Swatch, ...]:
    """The cake's colours: those its tiers were given, each once, base first."""
    named = {tier.colour: tier.colour_name for tier in design.tiers if tier.colour}
    return tuple(Swatch(name, colour) for colour, name in named.items())


def _by_path(problem: Problem) -> Problem:
    """A problem of the reckoning, which names it by its step, by where it stands in the file."""
    where = problem.where
    if "design." in where:
        where = where[where.index("design.") :]
    elif where.startswith("tiers"):
        where = f"design.{where}"
    elif where == "event.distance_km":
        where = "hand_over.distance_km"
    return Problem(where, problem.says)


def _on_paper(
    read: BriefFile, brief: Brief, book: ShopBook, reckoning: Reckoning, bench: Bench,
    offered: Sequence[Stack], brought: Sequence[BroughtPhoto], today: date,
) -> WorkedUp:  # fmt: skip
    # No consultation gives it a number, so the brief itself does: the same brief, the same number.
    number = f"{today.year}-{digest(brief)[:8].upper()}"
    sheet = sheet_of(brief, book, reckoning, number, 1, today)
    print_of = fingerprint(sheet)
    request = deposit_request_of(sheet, book, print_of, today)
    papers = {
        SHEET: design_sheet(
            sheet, print_of, {photo.ref.sha256: photo.printed for photo in brought}
        ),
        DEPOSIT: deposit_request(request),
        **{f"{name}.pdf": printed(name, brief, book, bench, number, 1) for name in PAPERS},
    }
    found = (swatch for photo in brought for swatch in photo.ref.swatches)
    result = result_of(
        brief,
        book,
        read.units,
        reckoning,
        bench,
        offered,
        palette=tuple({swatch.hex: swatch for swatch in found}.values()),
        fingerprint=print_of,
        papers={name.removesuffix(".pdf"): name for name in papers},
    )
    return WorkedUp(result, papers, reckoning)
