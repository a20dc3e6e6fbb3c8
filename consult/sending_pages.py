"""The shop's side of private links: sending, seeing what became of each, revoking, and what the client said."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from consult import drawings
from consult.actions import links, post, remarks, sending, sheets
from consult.actions.keeping import KeyMismatch, Overtaken, Settled
from consult.actions.links import Standing
from consult.core.offered import ToOffer, offered
from consult.finding import AtHand, consultation_at_hand, designs_side_by_side
from consult.models import Consultation, PrivateLink, Purpose, Remark, Signature, State
from consult.page import once_for, whole_number
from shop.addresses import absolute

MOST_WORDS = 2_000
WORDS_OF = {
    Standing.OPEN: ("sent", "chip-info"),
    Standing.EXPIRED: ("expired", "chip-plain"),
    Standing.REVOKED: ("revoked", "chip-plain"),
    Standing.OVERTAKEN: ("overtaken", "chip-plain"),
}


@dataclass(frozen=True, slots=True)
class LinkShown:
    """A link as the shop sees it: what became of it, in a word."""

    row: PrivateLink
    standing: Standing
    says: str
    chip: str


def link_shown(row: PrivateLink) -> LinkShown:
    stands = links.standing(row)
    says, chip = WORDS_OF[stands]
    if stands is Standing.OPEN and row.first_used_at:
        says, chip = "opened", "chip-ok"
    if row.purpose == Purpose.SHEET and Signature.objects.filter(link=row).exists():
        says, chip = "signed by it", "chip-ok"
    return LinkShown(row, stands, says, chip)


def sending_shown(at: AtHand) -> dict[str, Any]:
    """What the overview shows of links and remarks, and what could be sent now."""
    rows = at.row.links.select_related("consultation__edition", "sheet", "designs")
    said = list(at.row.remarks.select_related("by", "link__designs"))
    current = sheets.current_sheet(at.row)
    with_tiers = [row.letter for row in at.row.designs.all() if row.body.get("tiers")]
    return {
        "links_sent": [link_shown(row) for row in rows[:12]],
        "remarks": said,
        "to_see_to": [
            (remark, _was_changed_since(at, remark)) for remark in said if remark.settled_at is None
        ],
        "letters_to_send": with_tiers if at.row.is_open else [],
        "sheet_to_send": current if current and at.row.state == State.QUOTED else None,
        "is_to_pay": at.row.state in (State.SIGNED, State.CONFIRMED, State.IN_THE_KITCHEN),
    }


def _was_changed_since(at: AtHand, remark: Remark) -> bool:
    """A choice of what was changed here meanwhile: somebody of the shop has to look at it."""
    if remark.kind != Remark.Kind.CHOICE or remark.link is None or not at.row.is_open:
        return False
    return not remarks.stands_as_sent(remark.link, at.row)


def offer_of(at: AtHand, letters: list[str]) -> list[ToOffer]:
    """The designs of those letters as they are sent, drawn to one scale."""
    beside = [
        each
        for each in designs_side_by_side(at)
        if each.letter in letters and each.brief.design.tiers
    ]
    margin = at.book.policies.stacks.board_margin_mm
    widest = max((each.reckoning.board_mm for each in beside), default=0.0)
    tallest = max((each.reckoning.height_mm for each in beside), default=0.0)
    return [
        ToOffer(
            each.letter,
            each.brief,
            each.book,
            each.reckoning,
            drawings.card(
                each.brief.design.tiers,
                each.brief.design,
                each.book,
                prefix=f"design{each.letter}",
                in_full=True,
                frame=(widest - 2 * margin, tallest),
            ),
        )
        for each in beside
    ]


def _typed(request: HttpRequest, name: str, most: int) -> str:
    return request.POST.get(name, "").replace("\0", "").strip()[:most]


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    """Send designs, the sheet or what is to pay: by e-mail, or as a link that is shown this once."""
    at = consultation_at_hand(pk)
    what, to, words = (
        request.POST.get("what", ""),
        _typed(request, "to", 254),
        _typed(request, "words", MOST_WORDS),
    )
    if to and not post.is_address(to):
        messages.error(request, f"{to} is not an e-mail address. Nothing was sent.")
        return redirect("consult:overview", pk=pk)
    if whole_number(request, "revision") not in (None, at.row.revision):
        messages.error(request, "Somebody else changed this consultation. Please look again.")
        return redirect("consult:overview", pk=pk)
    made: list[str] = []

    def act() -> str:
        made.append(_sent(request, at, what, to, words))
        return "sent"

    try:
        once_for(request, act)
    except (Overtaken, KeyMismatch):
        messages.error(request, "Somebody else changed this consultation. Please look again.")
        return redirect("consult:overview", pk=pk)
    except (sending.NotSent, Settled) as refused:
        messages.error(request, str(refused))
        return redirect("consult:overview", pk=pk)
    if made and not to:
        return _shown_once(request, at, made[0])
    if made:
        messages.success(request, f"Written to {to}.")
    else:
        messages.info(
            request, "That was sent before. A link is shown once; make another if needed."
        )
    return redirect("consult:overview", pk=pk)


def _sent(request: HttpRequest, at: AtHand, what: str, to: str, words: str) -> str:
    """Carry it out; gives the link's token."""
    if what == Purpose.DESIGNS:
        designs = offer_of(at, request.POST.getlist("letters"))
        if not designs:
            raise sending.NotSent("Tick at least one design that has tiers, then send it.")
        sent = sending.send_designs(
            at.row, by=request.user, offered=offered(designs), words=words, to=to
        )
        return sent[1]
    if what == Purpose.SHEET:
        row = sheets.current_sheet(at.row)
        if row is None:
            raise sending.NotSent("There is no sheet to sign yet: make the sheet first.")
        return sending.send_sheet(at.row, row, by=request.user, to=to, words=words, today=at.today)
    if what == Purpose.PAY:
        return sending.send_to_pay(at.row, by=request.user, to=to, words=words)
    raise sending.NotSent("Say what is to be sent.")


def _shown_once(request: HttpRequest, at: AtHand, token: str) -> HttpResponse:
    """The link to copy or to scan. It is kept nowhere, so this page is the only one that shows it."""
    address = absolute(links.path_of(token))
    context = {"at": at, "address": address, "code": drawings.link_code(address)}
    answer = render(request, "consult/link_made.html", context)
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_POST
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    consultation = get_object_or_404(Consultation, pk=pk)
    row = consultation.links.filter(pk=whole_number(request, "link") or 0).first()
    if row and links.kill(row, by=request.user):
        messages.success(request, "The link is revoked: it opens nothing any more.")
    else:
        messages.info(request, "That link opens nothing any more as it is.")
    return redirect("consult:overview", pk=pk)


@require_POST
def settle(request: HttpRequest, pk: int) -> HttpResponse:
    """A remark was seen to, with an answer for the client or without."""
    consultation = get_object_or_404(Consultation, pk=pk)
    rows = Remark.objects.select_related("consultation__edition", "link")
    row = rows.filter(consultation=consultation, pk=whole_number(request, "remark") or 0).first()
    if row and remarks.settle(row, by=request.user, answer=_typed(request, "answer", MOST_WORDS)):
        messages.success(request, "Seen to.")
    else:
        messages.info(request, "Somebody has seen to that already.")
    return redirect("consult:overview", pk=pk)
