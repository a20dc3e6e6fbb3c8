"""What is said when nothing can be kept just now: the disk is full, the database busy or gone? 503, in words."""

import errno
import logging
import sys

from django.db import InterfaceError, OperationalError
from django.http import HttpResponse, HttpResponseServerError
from django.template import loader

log = logging.getLogger(__name__)

FULL = "The disk of this shop's computer is full."
CLOSED = "The folder with the shop's data cannot be written to just now."
BUSY = "Somebody else is saving just now, and it is taking long."
GONE = "The database does not answer just now."

_FILES = {
    errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EROFS: CLOSED, errno.EACCES: CLOSED,
    errno.EPERM: CLOSED, errno.EIO: CLOSED, errno.EMFILE: BUSY, errno.ENFILE: BUSY,
}  # fmt: skip
# SQLite's own words, of its result codes BUSY, FULL, READONLY, CANTOPEN and IOERR.
_SQLITE = {
    "locked": BUSY, "full": FULL, "readonly": CLOSED, "unable to open": CLOSED, "disk i/o": CLOSED,
}  # fmt: skip
TRY_AGAIN_AFTER = 30  # seconds


def what_passes(error: BaseException | None) -> str:
    """What stands in the way, in words, if it may pass by itself or be put right without us; else nothing."""
    while error is not None:
        if isinstance(error, OSError) and error.errno in _FILES:
            return _FILES[error.errno]
        if isinstance(error, OperationalError):
            said = str(error).lower()
            if "no such" in said:  # a table or column: the code and the database do not match
                return ""
            return next((words for sign, words in _SQLITE.items() if sign in said), GONE)
        if isinstance(error, InterfaceError):
            return GONE
        error = error.__cause__ or error.__context__
    return ""


def page(request) -> HttpResponse:
    """Django's handler500: a 503 with what stands in the way where it passes, else the page for a fault of ours.

    Neither page asks the database or the session for anything.
    """
    says = what_passes(sys.exc_info()[1])
    if not says:
        return HttpResponseServerError(loader.render_to_string("500.html"))
    log.error("%s Nothing was saved: %s %s", says, request.method, request.path)
    answer = HttpResponse(loader.render_to_string("503.html", {"says": says}), status=503)
    answer["Retry-After"] = str(TRY_AGAIN_AFTER)
    return answer
