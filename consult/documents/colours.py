"""Which colours does the drawing use beside the cake's own? Ink, board, and mixtures of solid colours."""

INK = "#17231F"
SOFT_INK = "#47534D"
RULE = "#C9CFC4"
BOARD = "#D9B061"
WHITE = "#FFFFFF"
LEAF = "#7E9475"
CRUMB = "#D8B483"
METAL = "#C8A246"


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, 0 to 255, of "#RRGGBB" or "#RGB"; anything else is white."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(one * 2 for one in digits)
    try:
        value = int(digits, 16) if len(digits) == 6 else 0xFFFFFF
    except ValueError:
        value = 0xFFFFFF
    return value >> 16, value >> 8 & 255, value & 255


def mixed(colour: str, other: str, share: float) -> str:
    """The colour with `share` (0 to 1) of the other in it."""
    pairs = zip(channels(colour), channels(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02X}" for a, b in pairs)


def lightness(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    linear = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (channel / 255 for channel in channels(colour))
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def is_dark(colour: str) -> bool:
    """Whether ink on it falls below 4.5:1 (WCAG 2.2, success criterion 1.4.3)."""
    return (lightness(colour) + 0.05) / (lightness(INK) + 0.05) < 4.5


def shade(colour: str) -> str:
    """The side that the light does not reach; on a dark colour the shade is lighter, so it shows."""
    return mixed(colour, WHITE, 0.12) if lightness(colour) < 0.05 else mixed(colour, INK, 0.13)


def detail(colour: str, strength: float = 0.3) -> str:
    """Lines of a texture: darker than the coat, or lighter on a dark one."""
    return mixed(colour, WHITE, strength) if is_dark(colour) else mixed(colour, INK, strength)
