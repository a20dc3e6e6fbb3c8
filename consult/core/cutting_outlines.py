"""Which lines draw a cutting plan? Its edge, fields, offcuts and cuts as plain points, simplified for drawing."""

from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from consult.core.cutting import CuttingPlan, Piece
from consult.core.shapes import outline

Points = tuple[tuple[float, float], ...]

_SIMPLER_BY_MM = 0.05  # no line moves further
_OFFCUT_MM2 = 20.0  # smaller slivers are not drawn
_GRID_MM = 0.01  # pieces that touch are joined to this, so that no seam is left between them


@dataclass(frozen=True, slots=True)
class Area:
    """An area in millimetres round the tier's centre, y up: its edge anticlockwise, holes clockwise,
    the first point not repeated."""

    edge: Points
    holes: tuple[Points, ...] = ()


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """A cutting plan for drawing. `fields` are rings or rows as one area each, with their number;
    `middles` is where the number of each piece stands, in the order of pieces."""

    edge: Area
    fields: tuple[tuple[int, Area], ...]
    offcuts: tuple[Area, ...]
    cuts: tuple[Points, ...]
    middles: tuple[tuple[float, float], ...]


@lru_cache(maxsize=128)  # a drawing is tried at several scales
def drawn(plan: CuttingPlan) -> DrawnPlan:
    """The plan's lines and areas."""
    cake = outline(plan.shape, plan.size_mm, plan.width_mm)
    together: dict[int, list[Polygon]] = {}
    for piece in plan.pieces:
        together.setdefault(piece.ring_or_row, []).append(piece.polygon)
    fields = {
        place: shapely.union_all(polygons, grid_size=_GRID_MM)
        for place, polygons in together.items()
    }
    served = shapely.union_all(list(fields.values()), grid_size=_GRID_MM)
    left_over = _polygons(shapely.difference(cake, served, grid_size=_GRID_MM))
    return DrawnPlan(
        edge=_area(cake),
        fields=tuple(
            (place, _area(polygon))
            for place, field in fields.items()
            for polygon in _polygons(field)
        ),
        offcuts=tuple(_area(one) for one in left_over if one.area > _OFFCUT_MM2),
        cuts=tuple(
            tuple((float(x), float(y)) for x, y in cut.simplify(_SIMPLER_BY_MM).coords)
            for cut in plan.cuts
        ),
        middles=tuple(_middle(piece) for piece in plan.pieces),
    )


def _polygons(found: BaseGeometry) -> tuple[Polygon, ...]:
    if isinstance(found, Polygon):
        return () if found.is_empty else (found,)
    return tuple(one for one in getattr(found, "geoms", ()) if isinstance(one, Polygon))


def _area(polygon: Polygon) -> Area:
    turned = shapely.geometry.polygon.orient(polygon.simplify(_SIMPLER_BY_MM))
    edge, *holes = (
        tuple((float(x), float(y)) for x, y in ring.coords[:-1])
        for ring in (turned.exterior, *turned.interiors)
    )
    return Area(edge, tuple(holes))


def _middle(piece: Piece) -> tuple[float, float]:
    """The centre of area, or a point of the piece where that lies outside it."""
    centre = piece.polygon.centroid
    if not piece.polygon.contains(centre):
        centre = piece.polygon.representative_point()
    return float(centre.x), float(centre.y)
