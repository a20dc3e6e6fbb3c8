"""What a client says of the designs that were sent, and what the shop does about it."""

from django.db import transaction
from django.utils import timezone

from consult.actions import links, post
from consult.actions.keeping import Seen, hold, move_on, note
from consult.core.offered import Offered
from consult.models import Consultation, DesignsSent, PrivateLink, Purpose, Remark
from shop.addresses import absolute
from shop.core.book import built
from shop.models import Person

BY_LINK = "by private link"
_SAID = {
    Remark.Kind.COMMENT: "says of",
    Remark.Kind.CHANGE: "asks for a change of",
    Remark.Kind.CHOICE: "chooses",
}


def offered_in(sent: DesignsSent) -> Offered:
    """The designs as they were sent."""
    value: Offered = built(Offered, sent.body, "designs")
    return value


def _client(consultation: Consultation) -> str:
    return f"{consultation.client_name or 'the client'}, {BY_LINK}"


@transaction.atomic
def say(link: PrivateLink, *, kind: Remark.Kind, letter: str, words: str) -> Remark:
    """Keep a comment, or that a change is asked for. Dead if the link opens nothing any more."""
    row, consultation = _held(link)
    return _kept(row, consultation, kind, letter, words)


@transaction.atomic
def choose(link: PrivateLink, *, letter: str, words: str = "") -> tuple[Remark, bool]:
    """Keep the client's choice; whether the consultation stands at that design by it.

    It is turned to it only while nobody of the shop has changed anything since the designs were sent; what the
    client turned by this link before is no such change. Else the shop is told and decides.
    """
    row, consultation = _held(link)
    is_as_sent = stands_as_sent(row, consultation)
    remark = _kept(row, consultation, Remark.Kind.CHOICE, letter, words)
    if is_as_sent and consultation.chosen_letter != letter:
        move_on(
            consultation,
            by=None,
            seen=Seen(consultation.revision, _page(row)),
            what="design",
            says=f"Turned to design {letter}, as the client chose",
            who_words=_client(consultation),
            chosen_letter=letter,
        )
    return remark, is_as_sent


def stands_as_sent(link: PrivateLink, consultation: Consultation) -> bool:
    """Whether nothing was changed since the designs were sent, but which of them the client chose by this link."""
    if link.designs is None:
        return False
    turned = consultation.record.filter(
        what="design", page=_page(link), revision__gt=link.designs.of_revision
    )
    return consultation.revision == link.designs.of_revision + turned.count()


def _held(link: PrivateLink) -> tuple[PrivateLink, Consultation]:
    hold(link.consultation)
    row = links.check(link, Purpose.DESIGNS)
    return row, row.consultation


def _page(link: PrivateLink) -> str:
    """What the record knows a client's page by, so that what one link does never clashes with itself."""
    return f"link {link.pk}"


def _kept(
    link: PrivateLink, consultation: Consultation, kind: Remark.Kind, letter: str, words: str
) -> Remark:
    remark = Remark.objects.create(
        consultation=consultation,
        link=link,
        letter=letter,
        kind=kind,
        words=words,
        at=timezone.now(),
    )
    of_what = f"design {letter}" if letter else "the designs"
    note(
        consultation,
        by=None,
        what="remark",
        says=f"The client {_SAID[kind]} {of_what}" + (f": {words}" if words else ""),
        who_words=_client(consultation),
        page=_page(link),
        details={"remark": remark.pk},
    )
    post.write(
        "remark_came",
        to=consultation.book().identity.email,
        consultation=consultation,
        context={
            "remark": remark,
            "said": f"{_SAID[kind]} {of_what}",
            "path": absolute(f"/consultations/{consultation.pk}/"),
        },
        once=f"remark {remark.pk}",
    )
    return remark


@transaction.atomic
def settle(remark: Remark, *, by: Person, answer: str = "") -> bool:
    """Note that the shop has seen to a remark, with an answer that the client finds beside it; once only."""
    consultation = remark.consultation
    hold(consultation)
    now = timezone.now()
    if not Remark.objects.filter(pk=remark.pk, settled_at=None).update(settled_at=now):
        return False
    consultation.refresh_from_db()
    if answer:
        Remark.objects.create(
            consultation=consultation,
            link=remark.link,
            by=by,
            letter=remark.letter,
            kind=Remark.Kind.ANSWER,
            words=answer,
            at=now,
            settled_at=now,
        )
    note(
        consultation,
        by=by,
        what="remark seen to",
        says="Seen to what the client said" + (f", and answered: {answer}" if answer else ""),
        details={"remark": remark.pk},
    )
    return True
