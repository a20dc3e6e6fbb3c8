"""How is a message worded once and written twice, as plain text and as HTML?

The form is the context's autoescape: on, a tag writes HTML and every value is escaped; off, it writes plain text
and nothing is. So both forms say the same, and a message is one file.
"""

from collections.abc import Iterable

from django import template
from django.template import Context
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.simple_block_tag(takes_context=True)
def say(context: Context, content: str) -> str:
    """A paragraph."""
    words = " ".join(content.split())
    if not words:
        return ""
    if not context.autoescape:
        return f"{words}\n\n"
    return format_html("<p>{}</p>\n", mark_safe(words))


@register.simple_block_tag(takes_context=True)
def facts(context: Context, content: str) -> str:
    """A short table of what is what, made of facts."""
    lines = [line.strip() for line in content.splitlines() if line.strip()]
    if not lines:
        return ""
    words = "\n".join(lines)
    if not context.autoescape:
        return f"{words}\n\n"
    return format_html("<table>\n{}\n</table>\n", mark_safe(words))


@register.simple_tag(takes_context=True)
def fact(context: Context, name: str, value: object) -> str:
    """One line of facts; left out where there is no value."""
    words = " ".join(str("" if value is None else value).split())
    if not words:
        return ""
    if not context.autoescape:
        return f"{name}: {words}\n"
    return format_html('<tr><th scope="row">{}</th><td>{}</td></tr>\n', name, words)


@register.simple_tag(takes_context=True)
def points(context: Context, values: Iterable[object]) -> str:
    """A list, a line each."""
    lines = [" ".join(str(value).split()) for value in values or ()]
    if not lines:
        return ""
    if not context.autoescape:
        return "".join(f"- {line}\n" for line in lines) + "\n"
    return format_html(
        "<ul>\n{}</ul>\n", format_html_join("", "<li>{}</li>\n", ((line,) for line in lines))
    )


@register.simple_tag(takes_context=True)
def quoted(context: Context, words: str) -> str:
    """What somebody wrote, with its lines as they were."""
    lines = str(words or "").strip().splitlines()
    if not lines:
        return ""
    if not context.autoescape:
        return "".join(f"> {line}".rstrip() + "\n" for line in lines) + "\n"
    inside: SafeString = format_html_join(mark_safe("<br>\n"), "{}", ((line,) for line in lines))
    return format_html("<blockquote>{}</blockquote>\n", inside)


@register.simple_tag(takes_context=True)
def go(context: Context, address: str, words: str) -> str:
    """The way on: one to a message. Without an address it is left out."""
    if not address:
        return ""
    if not address.startswith(("https://", "http://")):
        raise ValueError("A message leads to a whole address of http or https.")
    if not context.autoescape:
        return f"{words}:\n{address}\n\n"
    return format_html('<p><a class="go" href="{}">{}</a></p>\n', address, words)
