"""Making a design sheet for signing, signing it, and starting a new revision after it was signed."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from consult import store
from consult.actions import contracts, links
from consult.actions.deposits import ask_for_deposit, paid
from consult.actions.keeping import Seen, Settled, move_on
from consult.core.design import Problem
from consult.core.revisions import changes_between
from consult.core.sheet import DepositRequest, DesignSheet, SignatureMark
from consult.core.sheet_making import deposit_request_of
from consult.core.signing import fingerprint, signature_problems
from consult.core.strokes import Strokes
from consult.documents.deposit_request import deposit_request
from consult.documents.design_sheet import design_sheet
from consult.models import (
    BenchDay,
    Consultation,
    Contract,
    DepositAsked,
    PrivateLink,
    Sheet,
    Signature,
    State,
)
from consult.photos import for_print
from shop.core.book import built, plain
from shop.models import Person


class NotSigned(Exception):
    """What stands in the way of the signature; `problems` go beside their fields."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("; ".join(problem.says for problem in problems))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Signer:
    """Who signs, with what mark, from where, and who of the shop is by.

    `link` is the private link it came by; `photo_permission` is None where nobody asked.
    """

    name: str
    strokes: Strokes | None
    agreed: bool
    shown: str  # the fingerprint of the sheet that was on the screen
    address: str | None
    browser: str
    witness: Person | None
    link: PrivateLink | None = None
    photo_permission: bool | None = None


def pictures_of(sheet: DesignSheet) -> dict[str, bytes]:
    """The sheet's photos, small enough for paper, by their digest."""
    return {photo.sha256: for_print(store.fetch(photo.sha256)) for photo in sheet.photos}


def sheet_value(row: Sheet) -> DesignSheet:
    """A kept sheet as its value again."""
    value: DesignSheet = built(DesignSheet, row.body, "sheet")
    return value


def next_revision(consultation: Consultation) -> int:
    last = consultation.sheets.order_by("-revision").first()
    return (last.revision if last else 0) + 1


def make_sheet(
    consultation: Consultation,
    *,
    by: Person,
    seen: Seen,
    sheet: DesignSheet,
    bench: tuple[tuple[date, int], ...],
    despite: str = "",
) -> Sheet:
    """Keep a sheet and its paper as shown from now on; the consultation is quoted.

    `bench` is the work it would take, by day; `despite` why it is taken though the date does not hold. The same
    unsigned sheet is not made twice.
    """
    print_of = fingerprint(sheet)
    pdf = store.keep(design_sheet(sheet, print_of, pictures_of(sheet)))
    with transaction.atomic():
        move_on(
            consultation,
            by=by,
            seen=seen,
            what="sheet",
            says=f"Design sheet {sheet.number}, revision {sheet.revision}, made: {sheet.total}"
            + (f"; taken though the date does not hold: {despite}" if despite else ""),
            details={"fingerprint": print_of, "pdf": pdf},
            as_read=True,
            state=State.QUOTED,
        )
        return Sheet.objects.create(
            consultation=consultation,
            revision=sheet.revision,
            letter=consultation.chosen_letter,
            of_revision=consultation.revision,
            body=plain(sheet),
            fingerprint=print_of,
            pdf_sha256=pdf,
            changes=list(sheet.changes),
            bench=[[day.isoformat(), minutes] for day, minutes in bench],
            made_at=timezone.now(),
            made_by=by,
        )


def local_words(at: datetime, time_zone: str) -> str:
    """An instant as the shop's clock shows it, with its distance from UTC."""
    local = at.astimezone(ZoneInfo(time_zone))
    offset = local.strftime("%z")
    return f"{local:%d %B %Y, %H:%M} (UTC{offset[:3]}:{offset[3:]})"


def sign_sheet(consultation: Consultation, row: Sheet, *, signer: Signer) -> Signature:
    """Bind the sheet that was shown, and no other: the mark, the consent and the paper with it are kept.

    Raises NotSigned with what is missing, Overtaken when the sheet is no longer the current one.
    """
    sheet = sheet_value(row)
    current = current_sheet(consultation)
    problems = signature_problems(
        name=signer.name,
        strokes=signer.strokes,
        typed=signer.strokes is None,
        agreed=signer.agreed,
        shown_fingerprint=signer.shown,
        current_fingerprint=current.fingerprint if current else "",
    )
    if problems:
        raise NotSigned(problems)
    now = timezone.now()
    how = "typed" if signer.strokes is None else "drawn"
    where = how + (
        " at the counter" if signer.witness else " by private link" if signer.link else ""
    )
    mark = SignatureMark(
        name=signer.name,
        signed_at=local_words(now, consultation.book().identity.time_zone),
        strokes=signer.strokes.lines if signer.strokes else (),
        witness=signer.witness.name if signer.witness else "",
        how=where,
    )
    pictures = pictures_of(sheet)
    pdf = store.keep(design_sheet(sheet, row.fingerprint, pictures, mark))
    signature = Signature(
        sheet=row,
        name=signer.name,
        how=where,
        strokes=plain(mark.strokes),
        consent=sheet.consent,
        consent_version=sheet.consent_version,
        signed_at=now,
        signed_at_local=mark.signed_at,
        witness=signer.witness,
        address=signer.address,
        browser=signer.browser[:300],
        fingerprint=row.fingerprint,
        link=signer.link,
        photo_permission=signer.photo_permission,
        pdf_sha256=pdf,
    )
    contract = contracts.draw_up(consultation, signature, sheet=sheet, mark=mark, pictures=pictures)
    request = _asked_at_once(consultation, signature)
    bind(consultation, signature, contract=contract, request=request)
    return signature


def _asked_at_once(
    consultation: Consultation, signature: Signature
) -> tuple[DepositRequest, str] | None:
    """The deposit request, its paper in the store, for whoever signs at home; at the counter it is a step."""
    if signature.link is None:
        return None
    book, row = consultation.book(), signature.sheet
    on = signature.signed_at.astimezone(ZoneInfo(book.identity.time_zone)).date()
    received = paid(consultation)
    request = deposit_request_of(sheet_value(row), book, row.fingerprint, on, received=received)
    return (request, store.keep(deposit_request(request))) if request.to_pay else None


@transaction.atomic
def bind(
    consultation: Consultation,
    signature: Signature,
    *,
    contract: Contract | None = None,
    request: tuple[DepositRequest, str] | None = None,
) -> None:
    """Keep the signature if nothing at all was changed since its sheet was made; Overtaken or Settled if it was.

    Dead if it came by a private link that was revoked, has run out or was made for another sheet.

    What was paid under an earlier revision counts: where it covers the deposit, the order is confirmed at once.
    The contract and both sides' copies are kept with it, or none of them is.
    """
    row = signature.sheet
    deposit, received = sheet_value(row).deposit, paid(consultation)
    covered = bool(received) and received >= deposit
    move_on(
        consultation,
        by=None,
        seen=Seen(row.of_revision),
        what="signed",
        says=f"Sheet {row.body['number']}, revision {row.revision}, signed by {signature.name}, {signature.how}"
        + (
            f"; its deposit of {deposit} {deposit.currency} is covered by the {received} received, "
            "so the order is confirmed"
            if covered
            else ""
        ),
        while_in=(State.QUOTED,),
        details={"fingerprint": row.fingerprint, "pdf": signature.pdf_sha256}
        | ({"contract": contract.pdf_sha256} if contract else {}),
        who_words=signature.name,
        state=State.CONFIRMED if covered else State.SIGNED,
    )
    if signature.link is not None:
        links.check_for_signing(signature.link, row)
    BenchDay.objects.filter(consultation=consultation).delete()
    BenchDay.objects.bulk_create(
        BenchDay(consultation=consultation, on=date.fromisoformat(on), minutes=minutes)
        for on, minutes in row.bench
    )
    signature.save()
    if contract is None:
        return
    contract.save()
    asked: DepositAsked | None = None
    if request is not None:
        asked = ask_for_deposit(consultation, row, by=None, request=request[0], pdf=request[1])
    contracts.send_copies(consultation, contract, asked=asked)


def signed_before(consultation: Consultation) -> Sheet | None:
    """The last sheet that was signed."""
    return (
        consultation.sheets.filter(signature__isnull=False)
        .select_related("signature")
        .order_by("-revision")
        .first()
    )


def with_changes(consultation: Consultation, sheet: DesignSheet) -> DesignSheet:
    """The sheet with what it changes against the one signed before, in words and money."""
    before = signed_before(consultation)
    if before is None:
        return sheet
    return replace(
        sheet,
        changed_from=before.revision,
        changes=changes_between(sheet_value(before), sheet),
    )


def current_sheet(consultation: Consultation) -> Sheet | None:
    """The last sheet, unless something was changed since it was made."""
    last = consultation.sheets.select_related("signature", "contract").order_by("-revision").first()
    if last is None:
        return None
    if consultation.is_open and last.of_revision != consultation.revision:
        return None
    return last


@transaction.atomic
def start_revision(consultation: Consultation, *, by: Person, seen: Seen) -> None:
    """Open a signed design for change. What was signed stays readable and holds until the next is signed."""
    if consultation.is_open:
        raise Settled("Nothing is signed yet, so the design can be changed as it is.")
    move_on(
        consultation,
        by=by,
        seen=seen,
        what="revision",
        says=f"A new revision started; revision {next_revision(consultation) - 1} holds until it is signed",
        while_in=(State.SIGNED, State.CONFIRMED),
        state=State.CONSULTATION,
    )
