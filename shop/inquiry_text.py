"""What could the inquiry page say of the data it keeps? A text to start from: no legal advice, the owner's to edit."""

from shop.models.setup import Shop

# What must be said where data is taken: Regulation (EU) 2016/679, Art. 13 (who, why, how long, rights); from memory.
STARTING_DATA_WORDS = (
    "We keep what you write here, and your photos, to answer you and to plan your cake. Nobody but {shop} sees it, "
    "and we pass it on to nobody.\n\n"
    "If nothing comes of it, we erase all of it after {months}. What becomes an order is kept as long as tax and "
    "other laws ask for. Photos are made smaller and stripped of where and with what they were taken.\n\n"
    "What you have typed but not sent waits here for two days and is then erased. You may ask us what we keep of "
    "you, have it put right, or have it erased: {contact}.\n\n"
    "Please do not name people with an allergy: what the cake must be free of is all we need."
)


def data_words(shop: Shop) -> str:
    """The owner's words, or the starting text while there are none; with their blanks."""
    return shop.data_words.strip() or STARTING_DATA_WORDS


def told_of_data(shop: Shop) -> str:
    """What a client is told of the data before sending, with its blanks filled in."""
    months = shop.inquiry_kept_months
    contact = " or ".join(filter(None, (shop.email, shop.phone))) or "write to or visit us"
    said = data_words(shop)
    for blank, words in (
        ("{shop}", shop.name),
        ("{months}", "1 month" if months == 1 else f"{months} months"),
        ("{contact}", contact),
    ):
        said = said.replace(blank, words)
    return said
