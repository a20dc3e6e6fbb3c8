"""What do a cutting plan and the quantities say in the result file? JSON's own types, no cost in any of it."""

from typing import Any

import shapely
from shapely import Polygon

from consult.core.cutting import CuttingPlan
from consult.core.quantities import Quantities, TierAmounts
from consult.core.shopping import Weighed

Json = dict[str, Any]

_SIMPLER_BY_MM = 0.05  # no point of an outline moves further
_SLIT_MM = 0.1  # a piece with a hole is opened by a cut this wide: its outline is one line


def cutting_result(plan: CuttingPlan) -> Json:
    """One level of a tier: way, pieces with their outlines in millimetres round the tier's centre
    (anticlockwise, to a tenth, the first point not repeated), and what is left over as a share."""
    return {
        "way": plan.way.value,
        "pieces": [
            {"ring_or_row": piece.ring_or_row, "polygon_mm": _outline(piece.polygon)}
            for piece in plan.pieces
        ],
        "offcut_share": round(plan.offcut_share, 4),
    }


def _outline(polygon: Polygon) -> list[list[float]]:
    if polygon.interiors:
        right = polygon.bounds[2] + 1
        slit = shapely.box(0, -_SLIT_MM / 2, right, _SLIT_MM / 2)
        opened = polygon.difference(slit)
        polygon = opened if isinstance(opened, Polygon) else polygon
    simple = shapely.geometry.polygon.orient(polygon.simplify(_SIMPLER_BY_MM))
    points = [[round(x, 1) + 0.0, round(y, 1) + 0.0] for x, y in simple.exterior.coords[:-1]]
    # Rounding may lay two neighbours on one another; each point is said once.
    return [point for at, point in enumerate(points) if point != points[at - 1]]


def tier_result(amounts: TierAmounts) -> Json:
    """What a tier of the result says beside its cutting: grams in the pans, and of crumb coat, dam
    and final coat together."""
    return {"batter_g": round(amounts.batter_g), "icing_g": round(amounts.icing_g)}


def quantities_result(quantities: Quantities) -> Json:
    """The amounts of the whole order: by tier, bowl, decoration and oven load, and the shopping list."""
    made = (*quantities.tiers, *quantities.kitchen_cakes)
    return {
        "parts": [_part(one) for one in made],
        "mixes": [
            {
                "kind": mix.kind,
                "what": mix.name,
                "grams": round(mix.grams),
                "recipe": _lines(mix.lines),
                "for": [
                    {"what": use.for_what, "grams": round(use.grams), "colour": use.colour_name}
                    for use in mix.uses
                ],
                "why": mix.why,
            }
            for mix in quantities.mixes
        ],
        "decorations": [
            {
                "what": one.name,
                "where": one.where,
                "count": one.count,
                "made": one.made,
                "spare": one.spare,
                "lead_days": one.lead_days,
                "grams": round(one.grams),
                "recipe": _lines(one.lines),
                "why": one.why,
            }
            for one in quantities.decorations
        ],
        "oven_loads": [
            {
                "celsius": load.celsius,
                "pans": [{"pan": pan, "of": of, "count": count} for pan, of, count in load.pans],
            }
            for load in quantities.oven.loads
        ],
        "too_large_for_the_oven": list(quantities.oven.too_large),
        "shopping": [
            {
                "what": line.name,
                "grams": float(line.grams),
                "pieces": line.pieces,
                "packs": line.packs,
                "pack": line.pack_name,
                "why": line.why,
            }
            for line in quantities.shopping.lines
        ],
    }


def _lines(lines: tuple[Weighed, ...]) -> list[Json]:
    return [
        {"what": line.name, "grams": float(line.grams), "pieces": line.pieces} for line in lines
    ]


def _part(one: TierAmounts) -> Json:
    said: Json = {"where": one.where, "name": one.name, "count": one.count, **tier_result(one)}
    if one.baking is not None:
        said |= {
            "pan": one.baking.pan_name,
            "layers_baked": one.baking.layers.baked,
            "layers": one.baking.layers.layers,
            "batter_each_g": round(one.baking.each_g),
        }
    return said | {
        "syrup_ml": round(one.syrup_ml),
        "filling_ml": round(one.filling_ml),
        "filling_g": round(one.filling_g),
        "dam_g": round(one.dam_g),
        "crumb_coat_ml": round(one.crumb_ml),
        "crumb_coat_g": round(one.crumb_g),
        "final_coat_ml": round(one.coat_ml),
        "final_coat_g": round(one.coat_g),
        "why": [{"what": what, "says": says} for what, says in one.why],
    }
