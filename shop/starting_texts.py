"""What could a shop's agreement say, by where it trades? Texts to start from: no legal advice, the owner's to edit."""

from dataclasses import dataclass

NOTE = "Starting text, not legal advice; have it checked for where you trade."


@dataclass(frozen=True, slots=True)
class StartingTexts:
    """One place's texts, as they may be printed for a client once the owner has checked them."""

    place: str  # as shop.models.agreement.PLACES has it
    name: str
    risk: str
    photos: str
    withdrawal: str
    note: str = NOTE

    def holds(self, field: str, words: str) -> bool:
        """Whether those words are still this starting text, unedited."""
        return " ".join(words.split()) == " ".join(getattr(self, field).split())


# When the risk passes: Directive 2011/83/EU Art. 20; Consumer Rights Act 2015 s.29; UCC 2-509(3). All from memory.
_RISK = (
    "If you collect the cake, it is in your care from the moment you take it: carry it level, on a flat floor, cool "
    "and out of the sun.\n\n"
    "If we deliver it, it is in our care until we have set it up and you, or whoever receives it for you, have looked "
    "it over. From then on it is in your care: the table, the heat of the room and whoever passes by."
)

_PHOTOS = (
    "May we photograph your cake and show the pictures in our shop, on our pages and in print? Neither your name nor "
    "your guests are shown. You are free to say no: nothing in your order depends on it."
)
# Consent is free and can be taken back: Regulation (EU) 2016/679 Art. 7(3) and (4); kept in the law of the UK.
_PHOTOS_CONSENT = (
    f"{_PHOTOS} You can take a yes back whenever you like; from then on we show no new pictures and take down those on "
    "our own pages."
)

STARTING_TEXTS = (
    # No federal law gives a right to cancel such an order for a change of mind; the Cooling-Off Rule (16 CFR 429)
    # is for sales away from the seller's place of business. From memory.
    StartingTexts(
        "us",
        "United States",
        _RISK,
        _PHOTOS,
        "This cake is made to your order and does not keep. Once the sheet is signed, the order cannot be taken back "
        "for a change of mind; if you cancel, the schedule on this sheet says what you get back.\n\n"
        "The law of your state may give you further rights, and this takes none of them away.",
    ),
    # Directive 2011/83/EU: Art. 9 (14 days, distance and off-premises only), Art. 16(c) made to the consumer's
    # specifications, Art. 16(d) liable to deteriorate, Art. 6(1)(k) say that there is no such right. CJEU C-529/19
    # (21 October 2020): the exception holds from the signature on, before anything is made.
    StartingTexts(
        "eu",
        "European Union",
        _RISK,
        _PHOTOS_CONSENT,
        "You have no right to withdraw from this order. If you sign at our counter, the law gives none. If you sign "
        "from home, the right to withdraw within 14 days does not apply to goods that are made to your own "
        "specifications or that spoil quickly (Directive 2011/83/EU, Article 16(c) and (d)), from the moment you "
        "sign. If you cancel all the same, the schedule on this sheet says what you get back.\n\n"
        "Your rights if the cake is not as agreed are not touched by this.",
    ),
    # Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013 (SI 2013/3134),
    # reg. 28(1)(b) made to specifications and (c) liable to deteriorate; Consumer Rights Act 2015.
    StartingTexts(
        "uk",
        "United Kingdom",
        _RISK,
        _PHOTOS_CONSENT,
        "You have no right to cancel this order for a change of mind. If you sign at our counter, the law gives none. "
        "If you sign from home, the right to cancel within 14 days does not apply to goods made to your own "
        "specifications or that spoil quickly (Consumer Contracts Regulations 2013, regulation 28(1)(b) and (c)). If "
        "you cancel all the same, the schedule on this sheet says what you get back.\n\n"
        "Your rights under the Consumer Rights Act 2015 if the cake is not as agreed are not touched by this.",
    ),
    # Consumer contracts are the provinces' matter; most give a right to cancel an internet agreement only where the
    # trader did not disclose or give a copy as the province's Act says. From memory.
    StartingTexts(
        "ca",
        "Canada",
        _RISK,
        _PHOTOS_CONSENT,
        "This cake is made to your order and does not keep. Once the sheet is signed, the order cannot be taken back "
        "for a change of mind; if you cancel, the schedule on this sheet says what you get back. You are given a copy "
        "of this agreement as it is signed.\n\n"
        "The consumer protection law of your province may give you further rights, and this takes none of them away.",
    ),
)


def starting_texts(place: str) -> StartingTexts | None:
    """The texts of that place, None for any other word."""
    return next((texts for texts in STARTING_TEXTS if texts.place == place), None)


def is_starting(field: str, words: str) -> bool:
    """Whether those words are still the starting text of some place."""
    return any(texts.holds(field, words) for texts in STARTING_TEXTS)
