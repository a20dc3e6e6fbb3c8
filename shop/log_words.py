"""What must not stand in a log? Whatever opens something to whoever reads it: tokens in addresses."""

import logging
import re
from typing import Any

# A part of an address that is as long as a token of 256 bits in base 64, which no other part is.
_TOKEN = re.compile(r"(?<=/)[A-Za-z0-9_-]{40,}(?=[/?#\s\"']|$)")
COVER = "(covered)"


def covered(words: Any) -> Any:
    """The words without tokens; what is no text comes back as it is."""
    return _TOKEN.sub(COVER, words) if isinstance(words, str) else words


class TokensCovered(logging.Filter):
    """Covers tokens in every line before it is written."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg = covered(record.msg)
        if isinstance(record.args, tuple):
            record.args = tuple(covered(each) for each in record.args)
        return True
