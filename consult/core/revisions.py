"""What changed between two revisions of a sheet? Sentences in words and money, for whoever signs again."""

from collections.abc import Iterable

from babel.dates import format_date

from consult.core.sheet import DesignSheet, SheetDecoration, SheetLine, SheetTier
from shop.core.money import Money

NOTHING = "Nothing that you see or pay has changed."


def changes_between(before: DesignSheet, after: DesignSheet) -> tuple[str, ...]:
    """What is different on the later sheet, most important first; empty when they say the same.

    Numbers, dates of quoting and the fingerprint are left out: they differ with every revision.
    """
    return (
        *_event(before, after),
        *_tiers(before, after),
        *_decorations(before.decorations, after.decorations),
        *_allergens(before, after),
        *_rest(before, after),
        *_lines(before, after),
        *_sums(before, after),
    )


def _swap(what: str, old: object, new: object) -> list[str]:
    """ "Guests: 80, now 95." """
    if old == new:
        return []
    return [f"{what}: {old or 'none'}, now {new or 'none'}."]


def _event(before: DesignSheet, after: DesignSheet) -> list[str]:
    found = _swap("Client", before.client_name, after.client_name)
    found += _swap("Occasion", before.occasion, after.occasion)
    if before.event_on != after.event_on:
        days = [
            str(format_date(one.event_on, "full", locale=one.locale)) for one in (before, after)
        ]
        found += _swap("Date", *days)
    found += _swap("Guests", before.guests, after.guests)
    found += _swap("Servings needed", before.need, after.need)
    found += _swap("Servings counted", before.servings, after.servings)
    found += _swap("Slices", before.slice_words, after.slice_words)
    if before.event_on == after.event_on:  # the sentence names the day too
        found += _swap("Hand-over", before.hand_over.rstrip("."), after.hand_over.rstrip("."))
    return found


def _tier_says(tier: SheetTier) -> str:
    kind = f", {tier.kind}" if tier.kind else ""
    return f"{tier.size}, {tier.height} high{kind}"


def _tiers(before: DesignSheet, after: DesignSheet) -> list[str]:
    found = []
    for old, new in zip(before.tiers, after.tiers, strict=False):
        name = f"Tier {new.number}"
        found += _swap(name, _tier_says(old), _tier_says(new))
        found += _swap(f"{name}, cake", old.cake, new.cake)
        found += _swap(f"{name}, finish", old.finish, new.finish)
    kept = min(len(before.tiers), len(after.tiers))
    found += [f"Tier {one.number} is new: {_whole(one)}." for one in after.tiers[kept:]]
    found += [f"Tier {one.number} is left out: {_whole(one)}." for one in before.tiers[kept:]]
    return found + _added_and_left("Kitchen cake", before.kitchen_cakes, after.kitchen_cakes)


def _whole(tier: SheetTier) -> str:
    return "; ".join(part for part in (_tier_says(tier), tier.cake, tier.finish) if part)


def _added_and_left(what: str, before: Iterable[str], after: Iterable[str]) -> list[str]:
    old, new = list(before), list(after)
    found = [f"{what}, new: {one.rstrip('.')}." for one in new if one not in old]
    return found + [f"{what}, left out: {one.rstrip('.')}." for one in old if one not in new]


def _decorations(
    before: tuple[SheetDecoration, ...], after: tuple[SheetDecoration, ...]
) -> list[str]:
    """The same decoration in the same place is one; a row that stands twice is told by its turn."""
    old, new = _placed(before), _placed(after)
    found = []
    for key, one in new.items():
        was = old.get(key)
        if was is None:
            found.append(f"New: {one.count} × {one.name}, {one.where}{_noted(one)}.")
            continue
        found += _swap(f"{one.name}, {one.where}", f"{was.count}", f"{one.count}")
        found += _swap(f"{one.name}, {one.where}, note", was.note, one.note)
    left = [one for key, one in old.items() if key not in new]
    return found + [f"Left out: {one.count} × {one.name}, {one.where}." for one in left]


def _noted(one: SheetDecoration) -> str:
    return f" ({one.note.rstrip('.')})" if one.note else ""


def _placed(
    rows: tuple[SheetDecoration, ...],
) -> dict[tuple[str, str, int], SheetDecoration]:
    found: dict[tuple[str, str, int], SheetDecoration] = {}
    for one in rows:
        turn = sum(1 for name, where, _ in found if (name, where) == (one.name, one.where))
        found[one.name, one.where, turn] = one
    return found


def _allergens(before: DesignSheet, after: DesignSheet) -> list[str]:
    found = _swap("Contains", ", ".join(before.contains), ", ".join(after.contains))
    found += _swap("May contain", ", ".join(before.may_contain), ", ".join(after.may_contain))
    if before.avoid_words != after.avoid_words and after.avoid_words:
        found.append(f"To avoid, now: {after.avoid_words}")
    found += _added_and_left("Caution", before.cautions, after.cautions)
    return found


def _rest(before: DesignSheet, after: DesignSheet) -> list[str]:
    found = []
    colours = [", ".join(one.name or one.hex for one in each.swatches) for each in (before, after)]
    found += _swap("Colours", *colours)
    if {one.sha256 for one in before.photos} != {one.sha256 for one in after.photos}:
        found.append(f"Pictures: {len(before.photos)}, now {len(after.photos)}, not the same ones.")
    if before.notes != after.notes:
        found.append(f"Notes, now: {after.notes}" if after.notes else "The notes are left out.")
    if before.terms != after.terms:
        found.append(f"The terms are others: version {after.terms_version}.")
    if before.consent != after.consent:
        found.append(f"What a signer agrees to is worded anew: version {after.consent_version}.")
    return found + _agreed(before, after)


def _agreed(before: DesignSheet, after: DesignSheet) -> list[str]:
    old, new = before.agreed, after.agreed
    if old is None or new is None:
        return ["What is agreed beside the cake is set out on this sheet."] if old != new else []
    found = []
    shares = [[(line.notice, line.share) for line in one.cancelling] for one in (old, new)]
    if shares[0] != shares[1]:
        found.append("The schedule for cancelling is another.")
    if old.changes_words != new.changes_words:
        found.append(new.changes_words)
    if old.count_words != new.count_words:
        found.append(new.count_words)
    for what, was, now in (
        ("who carries the risk", old.risk_words, new.risk_words),
        ("withdrawing", old.withdrawal_words, new.withdrawal_words),
    ):
        if was != now:
            found.append(f"The words on {what} are others.")
    return found


def _lines(before: DesignSheet, after: DesignSheet) -> list[str]:
    """Price lines by their words; what stands twice is told by its turn."""
    old, new = _by_words(before.lines), _by_words(after.lines)
    found = []
    for key, line in new.items():
        was = old.get(key)
        if was is None:
            found.append(f"Price, new: {line.what}, {line.amount.written(after.locale)}.")
        elif was.amount != line.amount:
            found.append(_moved(f"Price of {line.what}", was.amount, line.amount, after.locale))
    left = [line for key, line in old.items() if key not in new]
    return found + [
        f"Price, left out: {one.what}, {one.amount.written(after.locale)}." for one in left
    ]


def _by_words(lines: tuple[SheetLine, ...]) -> dict[tuple[str, int], SheetLine]:
    found: dict[tuple[str, int], SheetLine] = {}
    for line in lines:
        found[line.what, sum(1 for words, _ in found if words == line.what)] = line
    return found


def _moved(what: str, old: Money, new: Money, locale: str) -> str:
    """ "Total: $548.00, now $612.00, $64.00 more." """
    says = f"{what}: {old.written(locale)}, now {new.written(locale)}"
    if old.currency != new.currency:
        return f"{says}."
    more = new - old
    by = max(more, -more).written(locale)
    return f"{says}, {by} {'more' if more > Money.zero(more.currency) else 'less'}."


def _sums(before: DesignSheet, after: DesignSheet) -> list[str]:
    found = []
    for what, old, new in (
        ("Total", before.total, after.total),
        ("Deposit", before.deposit, after.deposit),
        ("Balance", before.balance, after.balance),
    ):
        if old != new:
            found.append(_moved(what, old, new, after.locale))
    for what, was, now in (
        ("Deposit due", before.deposit_due, after.deposit_due),
        ("Balance due", before.balance_due, after.balance_due),
    ):
        if was != now:
            days = [str(format_date(day, "long", locale=after.locale)) for day in (was, now)]
            found += _swap(what, *days)
    return found
