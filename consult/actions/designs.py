"""Changes to a design: its tiers, what is in and on them, its decorations and colours; and its siblings."""

from dataclasses import replace

from django.db import transaction

from consult.actions.keeping import Seen, move_on
from consult.core.design import ChosenDecoration, Design, KitchenCake, OwnPiece, Swatch, Tier
from consult.core.own_pieces import with_own, without_unused
from consult.core.reckoning import restacked
from consult.core.saying import coats_said, decorations_said, insides_said, stack_said
from consult.models import Consultation, DesignRow
from shop.core.book import plain
from shop.models import Person


def _keep(
    consultation: Consultation, design: Design, *, by: Person, seen: Seen, what: str, says: str
) -> None:
    """Keep the design as the chosen letter's, on the revision it was made from."""
    body = plain(replace(design, photos=()))
    rows = DesignRow.objects.filter(consultation=consultation, letter=consultation.chosen_letter)
    if consultation.is_open and rows.filter(body=body).exists():
        return
    move_on(
        consultation, by=by, seen=seen, what=what, says=says, details={"design": body}, as_read=True
    )
    rows.update(body=body)


@transaction.atomic
def choose_tiers(
    consultation: Consultation,
    design: Design,
    *,
    by: Person,
    seen: Seen,
    tiers: tuple[Tier, ...],
    kitchen_cakes: tuple[KitchenCake, ...] = (),
) -> None:
    """Keep a stack. What was chosen for a tier stays with its place from the base."""
    moved = restacked(design, tiers, kitchen_cakes)
    book = consultation.book()
    _keep(
        consultation,
        moved,
        by=by,
        seen=seen,
        what="tiers",
        says=f"Tiers: {stack_said(moved, book)}",
    )


@transaction.atomic
def choose_flavours(
    consultation: Consultation,
    design: Design,
    *,
    by: Person,
    seen: Seen,
    flavours: tuple[str, ...],
    fillings: tuple[str, ...],
) -> None:
    """Keep the flavour and filling of each tier, base first; kitchen cakes follow the base."""
    tiers = tuple(
        replace(tier, flavour=flavour, filling=filling)
        for tier, flavour, filling in zip(design.tiers, flavours, fillings, strict=True)
    )
    kitchen_cakes = tuple(
        replace(cake, flavour=flavours[0], filling=fillings[0]) for cake in design.kitchen_cakes
    )
    _keep(
        consultation,
        replace(design, tiers=tiers, kitchen_cakes=kitchen_cakes),
        by=by,
        seen=seen,
        what="flavours",
        says=f"Flavours and fillings: {insides_said(design.tiers, tiers, consultation.book())}",
    )


@transaction.atomic
def choose_finishes(
    consultation: Consultation,
    design: Design,
    *,
    by: Person,
    seen: Seen,
    finishes: tuple[str, ...],
    colours: tuple[Swatch | None, ...],
) -> None:
    """Keep the finish and colour of each tier, base first."""
    tiers = tuple(
        replace(
            tier,
            finish=finish,
            colour=colour.hex if colour else "",
            colour_name=colour.name if colour else "",
        )
        for tier, finish, colour in zip(design.tiers, finishes, colours, strict=True)
    )
    kitchen_cakes = tuple(replace(cake, finish=finishes[0]) for cake in design.kitchen_cakes)
    _keep(
        consultation,
        replace(design, tiers=tiers, kitchen_cakes=kitchen_cakes),
        by=by,
        seen=seen,
        what="finishes",
        says=f"Finishes: {coats_said(design.tiers, tiers, consultation.book())}",
    )


@transaction.atomic
def choose_decorations(
    consultation: Consultation,
    design: Design,
    *,
    by: Person,
    seen: Seen,
    decorations: tuple[ChosenDecoration, ...],
    own: tuple[OwnPiece, ...] = (),
) -> None:
    """Keep all decorations with their counts and places; `own` are those made for this cake alone."""
    dressed = replace(design, decorations=decorations, own=own or design.own)
    book = with_own(consultation.book(), replace(dressed, own=(*design.own, *dressed.own)))
    says = decorations_said(design.decorations, decorations, book)
    _keep(
        consultation,
        without_unused(dressed),
        by=by,
        seen=seen,
        what="decorations",
        says=f"Decorations: {says}",
    )


@transaction.atomic
def choose_swatches(
    consultation: Consultation,
    design: Design,
    *,
    by: Person,
    seen: Seen,
    swatches: tuple[Swatch, ...],
) -> None:
    """Keep the cake's colours."""
    _keep(
        consultation,
        replace(design, swatches=swatches),
        by=by,
        seen=seen,
        what="colours",
        says=f"Colours: {', '.join(swatch.name or swatch.hex for swatch in swatches) or 'none'}",
    )


@transaction.atomic
def copy_design(consultation: Consultation, design: Design, *, by: Person, seen: Seen) -> str:
    """Put a copy of the chosen design beside it and go on with the copy; gives its letter."""
    taken = set(consultation.designs.values_list("letter", flat=True))
    letter = next(letter for letter in "ABC" if letter not in taken)
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="design copied",
        says=f"Design {letter} started as a copy of {consultation.chosen_letter}",
        chosen_letter=letter,
    )
    DesignRow.objects.create(
        consultation=consultation, letter=letter, body=plain(replace(design, photos=()))
    )
    return letter


@transaction.atomic
def turn_to_design(consultation: Consultation, *, by: Person, seen: Seen, letter: str) -> None:
    """Go on with another of the designs."""
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="design",
        says=f"Turned to design {letter}",
        chosen_letter=letter,
    )
