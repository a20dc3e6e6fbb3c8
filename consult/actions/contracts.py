"""Making the sealed contract of a sheet as it is signed, and sending both sides their copy."""

from collections.abc import Mapping
from datetime import UTC

from django.urls import reverse

from consult import calendar_file, sealing, store
from consult.actions import links, post
from consult.core.contract import Contract as ContractValue
from consult.core.contract import Evidence, means_words, photo_words
from consult.core.sheet import DesignSheet, SignatureMark
from consult.documents.contract import contract as contract_paper
from consult.models import Consultation, Contract, DepositAsked, Purpose, Signature
from shop.addresses import absolute
from shop.core.book import built, digest, plain

PDF = "application/pdf"


def contract_value(row: Contract) -> ContractValue:
    """A kept contract as its value again."""
    value: ContractValue = built(ContractValue, row.body, "contract")
    return value


def contract_bytes(row: Contract) -> bytes:
    """The sealed paper exactly as it was made."""
    return store.fetch(row.pdf_sha256)


def contract_name(row: Contract) -> str:
    """The name it is saved by: contract-2027-0142-2.pdf."""
    sheet = row.body["sheet"]
    return f"contract-{sheet['number']}-{sheet['revision']}.pdf"


def draw_up(
    consultation: Consultation,
    signature: Signature,
    *,
    sheet: DesignSheet,
    mark: SignatureMark,
    pictures: Mapping[str, bytes],
) -> Contract:
    """The contract of a signature that is about to be kept: printed, sealed and in the store. The row is not saved.

    Must run before the transaction that signs, since printing and sealing take their time.
    """
    value = ContractValue(
        sheet=sheet,
        fingerprint=signature.fingerprint,
        mark=mark,
        photo_permission=photo_words(signature.photo_permission),
        evidence=_evidence(consultation, signature, sheet),
    )
    done = sealing.sealed(contract_paper(value, pictures), sheet.shop_name)
    return Contract(
        sheet=signature.sheet,
        body=plain(value),
        fingerprint=digest(value),
        pdf_sha256=store.keep(done.pdf),
        certificate_sha256=done.certificate_sha256,
        made_at=signature.signed_at,
    )


def _evidence(consultation: Consultation, signature: Signature, sheet: DesignSheet) -> Evidence:
    last = consultation.record.order_by("-place").first()
    witness = signature.witness.name if signature.witness else ""
    return Evidence(
        consent=sheet.consent,
        consent_version=sheet.consent_version,
        terms_version=sheet.terms_version,
        signed_at_utc=signature.signed_at.astimezone(UTC).isoformat(timespec="seconds"),
        signed_at_local=signature.signed_at_local,
        means=means_words(
            typed=not signature.strokes,
            witness=witness,
            by_link=signature.link is not None,
            sent_to=signature.link.to if signature.link else "",
        ),
        witness=witness,
        address=signature.address or "",
        browser=signature.browser,
        record_lines=last.place if last else 0,
        record_head=last.hash if last else "",
        where_to_check=absolute(reverse("consult:check_a_paper")),
    )


def send_copies(
    consultation: Consultation, contract: Contract, *, asked: DepositAsked | None = None
) -> None:
    """Both sides get the contract, with the deposit request where it was asked for. In the signing's transaction."""
    sheet = contract_value(contract).sheet
    signature = contract.sheet.signature
    attached = [post.Attached(contract_name(contract), PDF, contract.pdf_sha256)]
    context = {"sheet": sheet, "signed_by": signature.name, "signed_at": signature.signed_at_local}
    if asked is not None:
        name = f"deposit-request-{sheet.number}-{sheet.revision}.pdf"
        attached.append(post.Attached(name, PDF, asked.pdf_sha256))
        context |= {"to_pay": asked.amount, "to_pay_by": asked.due_on}
        context["link"] = _link_to_pay(consultation)
    attached.extend(calendar_file.attached(consultation))
    for to, to_the_shop in (
        (consultation.client_email, False),
        (consultation.book().identity.email, True),
    ):
        post.write(
            "signed_copy",
            to=to,
            consultation=consultation,
            context={**context, "to_the_shop": to_the_shop},
            attached=attached,
            once=f"signed copy {contract.sheet_id} {'shop' if to_the_shop else 'client'}",
        )


def _link_to_pay(consultation: Consultation) -> str:
    """Where the client sees what to pay, as a message holds it; only an address can be sent one."""
    to = consultation.client_email
    if not to:
        return ""
    token = links.make_link(consultation, Purpose.PAY, by=None, to=to)
    return absolute(links.covered_path(token))
