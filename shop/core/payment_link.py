"""Where does a payment link lead? The owner's own link of any provider, with amount and reference filled in."""

from urllib.parse import quote, urlsplit

from shop.core.money import Money

PLACES = ("{amount}", "{currency}", "{reference}")
LONGEST = 2_000  # characters that browsers and mail programs take without harm (common practice, no source)


def link_problem(template: str) -> str:
    """What is wrong with the owner's link, as a sentence; "" when it can be used or is empty."""
    if not template:
        return ""
    if any(letter.isspace() or not letter.isprintable() for letter in template):
        return "A link has no spaces in it."
    try:
        parts = urlsplit(template)
        host, port = parts.hostname, parts.port
    except ValueError:
        return "This is no address of a page."
    if parts.scheme != "https":
        return "A payment link starts with https://."
    if not host or parts.username is not None or (port is not None and port == 0):
        return "A payment link needs the provider's name after https://, and no log-in in it."
    if "{" in (parts.netloc):
        return "Amount, currency and reference come after the provider's name."
    rest = template
    for place in PLACES:
        rest = rest.replace(place, "")
    if "{" in rest or "}" in rest:
        return "Only {amount}, {currency} and {reference} are filled in."
    if len(template) > LONGEST:
        return f"A link has at most {LONGEST} characters."
    return ""


def payment_link(template: str, amount: Money, reference: str) -> str:
    """The link for that payment; "" when there is none or it must not be used (see link_problem).

    The amount is in major units with all the currency's digits: 257.50.
    """
    if not template or link_problem(template):
        return ""
    filled = {
        "{amount}": str(amount),
        "{currency}": amount.currency,
        "{reference}": reference.replace(" ", ""),
    }
    for place, value in filled.items():
        template = template.replace(place, quote(value, safe=""))
    return template
