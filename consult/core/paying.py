"""How is an amount paid? Account, reference, payment code and payment link, for a page to show."""

from dataclasses import dataclass

from consult.core.deposit import in_blocks_of_four
from consult.core.money_papers import how_to_pay
from shop.core.money import Money
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
    how = how_to_pay(identity, number, amount)
    return Paying(
        amount=amount,
        reference=in_blocks_of_four(how.reference),
        account_name=how.account_name,
        iban=in_blocks_of_four(how.iban),
        bic=how.bic,
        how_to_pay=how.how_to_pay,
        epc_payload=how.epc_payload,
        link=how.link,
    )
