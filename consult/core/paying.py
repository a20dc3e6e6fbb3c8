"""How is an amount paid? Account, reference, payment code and payment link, for a page to show."""

from dataclasses import dataclass

from consult.core.deposit import creditor_reference, epc_payload, epc_problems, in_blocks_of_four
from shop.core.money import Money
from shop.core.payment_link import payment_link
from shop.core.policies import Identity


@dataclass(frozen=True, slots=True)
class Paying:
    """What a client needs to pay one amount. Empty where the shop has not set it."""

    amount: Money
    reference: str  # ISO 11649, in blocks of four
    account_name: str
    iban: str  # in blocks of four
    bic: str
    how_to_pay: str  # the owner's own words
    epc_payload: str  # for euros only (EPC069-12)
    link: str  # of any provider, with amount and reference filled in


def paying(amount: Money, number: str, identity: Identity) -> Paying:
    """How to pay `amount` of the order of that number. The reference is made of the number."""
    reference, name = creditor_reference(number), identity.account_name or identity.name
    bank = {"reference": reference, "bic": identity.bic}
    payload = ""
    if identity.iban and not epc_problems(name, identity.iban, amount, **bank):
        payload = epc_payload(name, identity.iban, amount, **bank)
    return Paying(
        amount=amount,
        reference=in_blocks_of_four(reference),
        account_name=name if identity.iban else "",
        iban=in_blocks_of_four(identity.iban),
        bic=identity.bic,
        how_to_pay=identity.how_to_pay,
        epc_payload=payload,
        link=payment_link(identity.payment_link, amount, reference),
    )
