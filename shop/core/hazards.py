"""What about a finish or decoration can hurt somebody? The marks that the owner sets, for the sheet's cautions."""

from collections.abc import Mapping
from types import MappingProxyType

# Code and what the owner reads beside the tick box. The sentence on the sheet, by regime and with its
# source, is with the sheet's cautions. A mark that is none of these is the owner's own sentence.
HAZARDS: Mapping[str, str] = MappingProxyType(
    {
        "small-parts": "small parts that are not food",
        "wires": "wires, sticks or picks go into the cake",
        "choking": "hard or round pieces a small child could choke on",
        "fresh-flowers": "fresh flowers or leaves",
        "dust": "coloured or pearl dust",
        "glitter": "glitter",
        "gold": "gold leaf",
        "metals": "silver leaf or metal-coated balls",
        "alcohol": "alcohol in paint or dust",
        "e171": "whitened with titanium dioxide (E 171)",
        "azo-colours": "azo colours (E 102, E 104, E 110, E 122, E 124, E 129)",
        "red-3": "FD&C Red No. 3 (E 127)",
        "candles": "candles or sparklers",
    }
)
