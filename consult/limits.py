"""Has this been done too often of late? Counted in the database, so that the limit holds for all processes."""

import ipaddress
from datetime import UTC, datetime, timedelta

from django.conf import settings
from django.db import connection
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from consult.models import Tally

KEPT = timedelta(
    days=1
)  # counts are of no use after their window; addresses are in them, if only as a digest


def allowed(what: str, who: str, *, most: int, seconds: int, now: datetime | None = None) -> bool:
    """Count one more of `what` by `who`; whether it is among the first `most` in this window of time.

    Windows stand fixed, every `seconds` from the epoch. One statement counts and answers, so of any number
    at the same instant exactly `most` are allowed. `who` is kept as a digest only.
    """
    now = now or timezone.now()
    start = datetime.fromtimestamp(now.timestamp() // seconds * seconds, UTC)
    count = _counted(f"{what} {salted_hmac('limits', who).hexdigest()[:32]}", start)
    if count == 1:
        Tally.objects.filter(window__lt=now - KEPT).delete()
    return count <= most


def _counted(key: str, window: datetime) -> int:
    table = connection.ops.quote_name(Tally._meta.db_table)
    of_window = connection.ops.quote_name("window")  # a word of SQL's own
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} (key, {of_window}, count) VALUES (%s, %s, 1) "
            f"ON CONFLICT (key, {of_window}) DO UPDATE SET count = {table}.count + 1 RETURNING count",
            [key, connection.ops.adapt_datetimefield_value(window)],
        )
        return int(cursor.fetchone()[0])


def address_of(request: HttpRequest) -> str:
    """Where a request comes from, as far as it can be believed.

    A forwarded address is taken only where the shop says that it stands behind a proxy, and then only the
    last one, which that proxy wrote itself.
    """
    address = request.META.get("REMOTE_ADDR", "")
    if settings.SECURE_PROXY_SSL_HEADER:
        address = request.headers.get("X-Forwarded-For", "").rpartition(",")[2].strip() or address
    return address


def neighbourhood(address: str) -> str:
    """What is counted as one asker: an IPv4 address, or the /64 that one IPv6 household gets (RFC 6177)."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if found.version == 6:
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(found)
