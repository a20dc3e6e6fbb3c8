"""Consultations and what belongs to them, as rows that can say themselves as plain values. No rule, no save()."""

from consult.models.clients import (
    DesignsSent,
    Inquiry,
    InquiryDraft,
    PrivateLink,
    Purpose,
    Remark,
    Tally,
)
from consult.models.consultations import (
    BOOKED_STATES,
    OPEN_STATES,
    Answered,
    BenchDay,
    Consultation,
    DesignRow,
    Photo,
    State,
)
from consult.models.money import (
    BalanceAsked,
    Cancellation,
    DepositAsked,
    Payment,
    Receipt,
    Refund,
    Voided,
)
from consult.models.post import Message
from consult.models.record import Entry
from consult.models.sheets import Contract, Sheet, Signature

__all__ = [
    "BOOKED_STATES",
    "OPEN_STATES",
    "Answered",
    "BalanceAsked",
    "BenchDay",
    "Cancellation",
    "Consultation",
    "Contract",
    "DepositAsked",
    "DesignRow",
    "DesignsSent",
    "Entry",
    "Inquiry",
    "InquiryDraft",
    "Message",
    "Payment",
    "Photo",
    "PrivateLink",
    "Purpose",
    "Receipt",
    "Refund",
    "Remark",
    "Sheet",
    "Signature",
    "State",
    "Tally",
    "Voided",
]
