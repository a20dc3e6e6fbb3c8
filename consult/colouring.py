"""Which colours can be picked on a page, and how is one shown? The cake's own first, then everyday ones."""

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

from consult.core.colour_names import COLOUR_NAMES
from consult.core.design import Design, Swatch
from consult.core.palette import name_of, rgb_of

# What most shops mix every week: common practice, no source.
EVERYDAY = ("white", "warm white", "ivory", "blush", "dusty rose", "terracotta", "pale sage", "sage",
            "sky blue", "navy", "lilac", "lemon", "gold", "chocolate", "black")  # fmt: skip

OWN = "own"


def chip(hex_colour: str) -> SafeString:
    """A colour as a small picture: our pages allow no inline style."""
    return format_html(
        '<svg class="swatch-chip" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">'
        '<rect width="24" height="24" fill="{}"/></svg>',
        hex_colour,
    )


def colours_to_pick(design: Design) -> tuple[Swatch, ...]:
    """The cake's colours, then those already on a tier, then everyday ones; each colour once."""
    used = (
        *design.swatches,
        *(Swatch(tier.colour_name, tier.colour) for tier in design.tiers if tier.colour),
        *(Swatch(name, COLOUR_NAMES[name]) for name in EVERYDAY if name in COLOUR_NAMES),
    )
    found: dict[str, Swatch] = {}
    for swatch in used:
        found.setdefault(swatch.hex.lower(), Swatch(swatch.name or name_of(swatch.hex), swatch.hex))
    return tuple(found.values())


def colour_choices(design: Design, *, none: str) -> list[tuple[str, SafeString | str]]:
    """Choices for a field: none, each colour by its hex, and one of the client's own."""
    return [
        ("", none),
        *(
            (swatch.hex, format_html("{} {}", chip(swatch.hex), swatch.name))
            for swatch in colours_to_pick(design)
        ),
        (OWN, "another colour"),
    ]


def own_colour_field(label: str) -> forms.CharField:
    """The colour of the client's own, by the device's own colour picker."""
    return forms.CharField(
        label=label,
        required=False,
        widget=forms.TextInput(attrs={"type": "color"}),
    )


def picked(choice: str, own: str, design: Design) -> Swatch | None:
    """The swatch a field's answer means; None for the finish's own colour.

    Raises ValueError when the own colour is no colour.
    """
    if not choice:
        return None
    if choice == OWN:
        rgb_of(own)
        return Swatch(name_of(own), own.lower())
    known = {swatch.hex: swatch for swatch in colours_to_pick(design)}
    return known[choice]
