"""What does a message say? templates/mail/KIND.html as a subject, as plain text and as HTML."""

import re
import unicodedata
from dataclasses import dataclass
from typing import Any

from django.template import Context
from django.template.loader import get_template, render_to_string
from django.utils.safestring import mark_safe

LONGEST_SUBJECT = 200  # the row's column

# Turn the words around them, so that a name could make a subject read as something else (Unicode's UAX 9).
_TURNING = dict.fromkeys([*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F, 0x061C])
# A token as a segment of an address: 256 bits are 43 letters in base 64, and no other segment is as long.
_SECRET = re.compile(r"(https?://[^\s\"'<>]*?/)[A-Za-z0-9_-]{40,}(?![A-Za-z0-9_-])")
MASK = "•••"


@dataclass(frozen=True, slots=True)
class Words:
    """A message as it is sent. Neither form holds control characters, and the subject is one line."""

    subject: str
    text: str
    html: str


def worded(kind: str, context: dict[str, Any]) -> Words:
    """The message of that kind. `context` must hold `shop`, a shop.core.policies.Identity."""
    subject = one_line(_part(kind, "subject", context, autoescape=False))[:LONGEST_SUBJECT]
    text = _part(kind, "body", context, autoescape=False).strip()
    shop = context["shop"]
    sender = [shop.name, *shop.address.splitlines(), shop.phone, shop.email]
    text = "\n".join([text, "", "-- ", *(line.strip() for line in sender if line.strip()), ""])
    html = render_to_string(
        "mail/_page.html",
        {
            "subject": subject,
            "body": _part(kind, "body", context, autoescape=True),
            "shop": shop,
            "look": mark_safe(f"<style>\n{render_to_string('mail/look.css')}</style>"),
        },
    )
    return Words(subject, _clean(text), _clean(html))


def _part(kind: str, part: str, context: dict[str, Any], *, autoescape: bool) -> str:
    template: Any = get_template(f"mail/{kind}.html#{part}")
    said: str = template.template.render(Context(dict(context), autoescape=autoescape))
    return mark_safe(said) if autoescape else said


def one_line(words: str) -> str:
    """Fit for a header: no line break (which would begin another header), no control, nothing that turns words."""
    kept = "".join(
        " " if unicodedata.category(letter) in ("Cc", "Zl", "Zp") else letter for letter in words
    )
    return " ".join(kept.translate(_TURNING).split())


def _clean(words: str) -> str:
    """Without control characters but the line break, and at most one empty line in a row."""
    lines = (line.rstrip() for line in words.replace("\r\n", "\n").split("\n"))
    kept = "".join(
        letter
        for letter in "\n".join(lines)
        if letter in "\n\t" or unicodedata.category(letter) not in ("Cc", "Cs")
    )
    return re.sub(r"\n{3,}", "\n\n", kept).replace("\n--\n", "\n-- \n")


def masked(words: str) -> str:
    """The words with the token of each private link covered."""
    return _SECRET.sub(rf"\g<1>{MASK}", words)


def has_secret(words: str) -> bool:
    """Whether a private link's token is in them."""
    return bool(_SECRET.search(words))
