"""Which words of a sheet hold letters that no font here can print? To be said before it is signed."""

from collections.abc import Iterator

from consult.core.sheet import DesignSheet
from consult.documents.fonts import cannot_show


def unprintable(sheet: DesignSheet) -> tuple[str, ...]:
    """A sentence for each part of the sheet whose paper would show "?" for a letter; mostly none."""
    found = []
    for what, text in _typed(sheet):
        letters = sorted(cannot_show(text))
        if letters:
            place = "its place" if len(letters) == 1 else "their place"
            found.append(
                f"{what} holds {' '.join(letters)}, which no font here can print: the paper would show ?"
                f" in {place}."
            )
    return tuple(dict.fromkeys(found))


def _typed(sheet: DesignSheet) -> Iterator[tuple[str, str]]:
    """What somebody typed, by where it is typed."""
    yield "The client's name", sheet.client_name
    yield "The client's telephone or e-mail", sheet.client_contact
    yield "The occasion", sheet.occasion
    yield "The hand-over", sheet.hand_over
    yield "What to avoid", sheet.avoid_words
    for decoration in sheet.decorations:
        yield f"The note on {decoration.name}", decoration.note
    for number, photo in enumerate(sheet.photos, start=1):
        yield f"The caption of picture {number}", photo.caption
    yield "A note", sheet.notes
    yield "The shop's name or address", f"{sheet.shop_name} {sheet.shop_address}"
