"""What kinds of messages are there? Their names for people; the words lie in templates/mail/KIND.html."""

KINDS = {
    "inquiry_copy": "Copy of the inquiry",
    "inquiry_came": "An inquiry came in",
    "inquiry_declined": "Inquiry declined",
    "designs_to_choose": "Designs to choose from",
    "sheet_to_sign": "Design sheet to sign",
    "signed_copy": "Signed copy",
    "to_pay": "What is to pay",
    "receipt": "Receipt",
    "refund": "Refund",
    "cancelled": "Cancellation",
    "remark_came": "A remark came in",
    "quote_lapses": "Reminder: the quote lapses",
    "deposit_due": "Reminder: the deposit is due",
    "balance_due": "Reminder: the balance is due",
    "count_to_confirm": "Reminder: guest count to confirm",
}


def words_for(kind: str) -> str:
    """The kind as it is listed; one that is not listed by its own name."""
    return KINDS.get(kind, kind.replace("_", " ").capitalize())
