"""In which order do letters stand on a line that mixes left-to-right and right-to-left?

The Unicode Bidirectional Algorithm (UAX #9, Unicode 16), its implicit rules. Embeddings and isolates are not
resolved: `fonts` drops those invisible signs, so that none can turn a name round on a paper.
"""

import re
import unicodedata
from collections.abc import Sequence

_STRONG = ("L", "R", "AL")
_NEUTRAL = ("B", "S", "WS", "ON")
_UNSEEN = ("BN", "LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")

# Pairs that rule N0 keeps together: those of BidiBrackets.txt that people type.
_CLOSING = {"(": ")", "[": "]", "{": "}", "⟨": "⟩", "〈": "〉", "《": "》", "「": "」", "『": "』", "【": "】",
            "⁅": "⁆", "（": "）", "［": "］"}  # fmt: skip
_OPENING = {closing: opening for opening, closing in _CLOSING.items()}


def has_right_to_left(text: str) -> bool:
    """Whether any letter or figure of it asks for another order than that of Latin script."""
    return not text.isascii() and any(
        unicodedata.bidirectional(one) in ("R", "AL", "AN") for one in text
    )


def base_level(text: str) -> int:
    """1 where the text as a whole runs right to left, else 0.

    Our papers put names among their own words, so the first strong letter (rule P2) alone does not decide:
    most of the strong letters must agree with it.
    """
    strong = [kind for one in text if (kind := unicodedata.bidirectional(one)) in _STRONG]
    leftward = sum(kind != "L" for kind in strong)
    return int(bool(strong) and strong[0] != "L" and leftward * 2 > len(strong))


def _weak(kinds: list[str], outer: str) -> None:
    """Rules W1 to W7, in place."""
    before, strong = outer, outer
    for place, kind in enumerate(kinds):
        if kind == "NSM":
            kinds[place] = kind = before
        if kind == "EN" and strong == "AL":
            kinds[place] = "AN"
        if kind in _STRONG:
            strong = kind
        before = kind
    kinds[:] = ["R" if kind == "AL" else kind for kind in kinds]
    for place in range(1, len(kinds) - 1):
        left, kind, right = kinds[place - 1 : place + 2]
        if left == right and (
            (kind == "ES" and left == "EN") or (kind == "CS" and left in ("EN", "AN"))
        ):
            kinds[place] = left
    start = 0
    while start < len(kinds):
        end = start
        while end < len(kinds) and kinds[end] == "ET":
            end += 1
        if end > start:
            beside = kinds[max(start - 1, 0) : start] + kinds[end : end + 1]
            kinds[start:end] = ["EN" if "EN" in beside else "ON"] * (end - start)
        start = end + 1
    strong = outer
    for place, kind in enumerate(kinds):
        if kind in ("ES", "CS"):
            kinds[place] = "ON"
        elif kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            kinds[place] = "L"


def _direction(kind: str) -> str:
    """What a resolved kind counts as for the neutrals beside it, "" for a neutral."""
    return {"L": "L", "R": "R", "EN": "R", "AN": "R"}.get(kind, "")


def _brackets(letters: Sequence[str], kinds: list[str], outer: str) -> None:
    """Rule N0, in place: brackets take the direction of what they hold, and marks on a bracket take the bracket's."""
    waiting: list[tuple[str, int]] = []
    pairs: list[tuple[int, int]] = []
    for place, letter in enumerate(letters):
        if kinds[place] != "ON":
            continue
        if letter in _CLOSING:
            waiting.append((_CLOSING[letter], place))
        elif letter in _OPENING:
            for depth in range(len(waiting) - 1, -1, -1):
                if waiting[depth][0] == letter:
                    pairs.append((waiting[depth][1], place))
                    del waiting[depth:]
                    break
    for first, last in sorted(pairs):
        inside = {_direction(kind) for kind in kinds[first + 1 : last]} - {""}
        taken = ""
        if outer in inside:
            taken = outer
        elif inside:
            ahead = [found for kind in kinds[:first] if (found := _direction(kind))]
            other = inside.pop()
            before = ahead[-1] if ahead else outer
            taken = other if before == other else outer
        for bracket in (first, last) if taken else ():
            end = bracket + 1
            while end < len(letters) and unicodedata.bidirectional(letters[end]) == "NSM":
                end += 1
            kinds[bracket:end] = [taken] * (end - bracket)


def _neutrals(kinds: list[str], outer: str) -> None:
    """Rules N1 and N2, in place."""
    start = 0
    while start < len(kinds):
        end = start
        while end < len(kinds) and kinds[end] in _NEUTRAL:
            end += 1
        if end > start:
            left = _direction(kinds[start - 1]) if start else outer
            right = _direction(kinds[end]) if end < len(kinds) else outer
            kinds[start:end] = [left if left == right else outer] * (end - start)
        start = end + 1


# Two higher-level protocols (UAX #9, HL3 and HL4), since our papers put names among their own words and figures.
# A telephone number, seven figures or more in groups, keeps its order; on a line of ours a figure that begins
# after a comma or its like does not belong to the name before it: "NAME, 70 guests".
_TELEPHONE = re.compile(r"\+?[0-9](?:[ ()./-]{0,2}[0-9]){6,}")
_AFTER_COMMA = re.compile(r"(?<=[,;:·–—|] )\+?[0-9]+")


def _kept_in_order(text: str, base: int) -> set[int]:
    """Places that count as Latin letters."""
    found = list(_TELEPHONE.finditer(text))
    if not base:
        found += _AFTER_COMMA.finditer(text)
    return {place for match in found for place in range(*match.span())}


def levels(text: str, base: int) -> list[int]:
    """The embedding level of each character: even runs left to right, odd right to left.

    `base` is the level of the whole line, 0 or 1. Spaces at the end of the line have it too (rule L1).
    """
    seen = [
        place for place, one in enumerate(text) if unicodedata.bidirectional(one) not in _UNSEEN
    ]
    letters = [text[place] for place in seen]
    forced = _kept_in_order(text, base)
    kinds = [
        "L" if place in forced else unicodedata.bidirectional(text[place]) or "L" for place in seen
    ]
    outer = "R" if base else "L"
    _weak(kinds, outer)
    _brackets(letters, kinds, outer)
    _neutrals(kinds, outer)
    found = {
        place: base + (kind != "R" if base else {"L": 0, "R": 1}.get(kind, 2))
        for place, kind in zip(seen, kinds, strict=True)
    }
    answer: list[int] = []
    for place in range(len(text)):
        answer.append(found.get(place, answer[-1] if answer else base))
    for place in range(len(text) - 1, -1, -1):
        if unicodedata.bidirectional(text[place]) not in ("WS", "S", "B", *_UNSEEN):
            break
        answer[place] = base
    return answer


def visual_order(found: Sequence[int]) -> list[int]:
    """Places of the line's items from left to right (rule L2)."""
    order = list(range(len(found)))
    odd = [level for level in found if level % 2]
    if not odd:
        return order
    for level in range(max(found), min(odd) - 1, -1):
        start = 0
        while start < len(order):
            end = start
            while end < len(order) and found[order[end]] >= level:
                end += 1
            order[start:end] = reversed(order[start:end])
            start = end + 1
    return order
