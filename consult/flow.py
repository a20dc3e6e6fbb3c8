"""Which steps does a consultation have, in what order? Each name is also its module, URL, page and tests."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One step: `name` in code and URLs, `title` on the trail, `asks` as the page's heading."""

    name: str
    title: str
    asks: str


STEPS = (
    Step("event", "Event", "What is it for, and when?"),
    Step("servings", "Servings", "How many will it feed?"),
    Step("tiers", "Tiers", "Which stack of tiers?"),
    Step("flavours", "Flavours", "What is inside each tier?"),
    Step("finishes", "Finishes", "What is on each tier?"),
    Step("decorations", "Decorations", "What goes on it, and where?"),
    Step("photos", "Photos", "Which pictures should we keep to?"),
    Step("sheet", "Sheet", "Is this the cake?"),
    Step("signing", "Sign", "Sign the design sheet"),
    Step("deposit", "Deposit", "Ask for the deposit"),
)

NAMES = tuple(step.name for step in STEPS)


def step_named(name: str) -> Step:
    """The step of that name; KeyError if there is none."""
    try:
        return STEPS[NAMES.index(name)]
    except ValueError as error:
        raise KeyError(name) from error


def after(name: str) -> Step | None:
    """The step that follows, or None after the last."""
    at = NAMES.index(name) + 1
    return STEPS[at] if at < len(STEPS) else None


def before(name: str) -> Step | None:
    """The step that comes before, or None at the first."""
    at = NAMES.index(name)
    return STEPS[at - 1] if at else None
