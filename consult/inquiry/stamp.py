"""How long has this page been open? A signed time-stamp, since nobody fills in an inquiry in a blink."""

import time

from django.core import signing

LEAST = 4  # seconds; our own bound, no source: a person needs longer for three fields
MOST = 48 * 60 * 60  # seconds, as long as a draft is kept

_SALT = "inquiry opened"


def new_stamp() -> str:
    """Says when the page was opened, and that we said so."""
    return signing.dumps(int(time.time()), salt=_SALT, compress=False)


def open_for(stamp: str) -> float | None:
    """Seconds since the stamp was given; None where it is not ours or too old."""
    try:
        opened = signing.loads(stamp[:200], salt=_SALT)
    except signing.BadSignature:
        return None
    if not isinstance(opened, int):
        return None
    age = time.time() - opened
    return age if 0 <= age <= MOST else None
