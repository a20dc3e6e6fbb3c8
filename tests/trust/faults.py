"""A fault at the n-th call: every statement, commit and file operation counts; the n-th fails as on a full disk."""

import errno
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import OperationalError, connection

# What the interpreter tells of before it happens (its audit events), and counts here where it is in the media folder.
_FILE_EVENTS = ("open", "os.rename", "os.mkdir", "os.remove")


class Faults:
    """Counts calls while armed, and fails the n-th, or the n-th and all after it."""

    def __init__(self) -> None:
        self.armed, self.calls, self.fail_at, self.and_after = False, 0, 0, False
        self.failed: list[str] = []

    def call(self, what: str) -> bool:
        """Count one call; whether it must fail."""
        if not self.armed:
            return False
        self.calls += 1
        fails = self.calls == self.fail_at or (self.and_after and self.calls > self.fail_at)
        if fails:
            self.failed.append(what)
        return fails


_FAULTS = Faults()


def _heard(event: str, arguments: tuple[Any, ...]) -> None:
    if not _FAULTS.armed or event not in _FILE_EVENTS:
        return
    path = str(arguments[0])
    if str(settings.MEDIA_ROOT) in path and _FAULTS.call(f"{event} {Path(path).name}"):
        raise OSError(errno.ENOSPC, "No space left on device")


sys.addaudithook(_heard)  # it cannot be taken out again, so it listens only while armed


def _statement(execute: Any, sql: str, parameters: Any, many: bool, context: Any) -> Any:
    if _FAULTS.call(sql[:60]):
        raise OperationalError("database or disk is full")
    return execute(sql, parameters, many, context)


def _allowed(action: int, first: str | None, *rest: Any) -> int:
    if action == sqlite3.SQLITE_TRANSACTION and first == "COMMIT" and _FAULTS.call("COMMIT"):
        return sqlite3.SQLITE_DENY
    return sqlite3.SQLITE_OK


@contextmanager
def failing(at: int, *, and_after: bool = False) -> Iterator[Faults]:
    """Within it the call of that number fails; every later one too where `and_after` says so."""
    connection.ensure_connection()
    raw = connection.connection if connection.vendor == "sqlite" else None
    if raw is not None:
        raw.set_authorizer(_allowed)
    _FAULTS.__init__()
    _FAULTS.fail_at, _FAULTS.and_after = at, and_after
    try:
        with connection.execute_wrapper(_statement):
            _FAULTS.armed = True
            try:
                yield _FAULTS
            finally:
                _FAULTS.armed = False
    finally:
        if raw is not None:
            raw.set_authorizer(None)
