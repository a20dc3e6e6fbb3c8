"""By what address do people reach the shop from outside? For links in messages and on papers."""

from django.conf import settings


def absolute(path: str) -> str:
    """The whole address of a path that begins with a slash."""
    if not path.startswith("/"):
        raise ValueError(f"A path begins with a slash: {path!r}")
    return f"{settings.ADDRESS}{path}"
