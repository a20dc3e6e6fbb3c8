"""What about a finish or decoration can hurt somebody? The marks that the owner sets, for the sheet's cautions."""

from collections.abc import Mapping
from types import MappingProxyType

# Code and what the owner reads beside the tick box. What a sheet then says, and its source, is with
# the sheet's cautions.
HAZARDS: Mapping[str, str] = MappingProxyType(
    {
        "wires": "has wires, sticks or picks in it",
        "fresh-flowers": "fresh flowers or leaves",
        "small-parts": "small parts that are not food",
        "metal-leaf": "gold or silver leaf",
        "glitter": "glitter or dust",
        "alcohol": "alcohol in paint or dust",
        "raw-egg": "egg that is not heated through",
        "strong-colours": "strong colours",
        "heat": "softens in the warm",
        "hard": "hard to bite",
    }
)
