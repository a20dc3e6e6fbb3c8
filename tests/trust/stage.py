"""What do the tests of trust stand on? The sample shop with one signed consultation, and every address of the site."""

from dataclasses import dataclass
from typing import Any

from django.test import Client
from django.urls import get_resolver, reverse
from django.utils import timezone

from consult import store
from consult.bench_papers import PAPERS
from consult.models import BalanceAsked, Cancellation, Consultation, Message, Photo, Receipt, Sheet
from consult.posting.carrying import file_of
from shop.models import Decoration, Filling, Finish, Flavour, Ingredient, Pan, Person, SliceSize
from shop.models.recipes import BenchTask
from shop.models.setup import ClosedDay
from tests.consultations import keys, make_consultation
from tests.steps.test_photos import add, picture
from tests.steps.test_signing import mark

ROWS = {
    "pans": Pan, "slices": SliceSize, "ingredients": Ingredient, "flavours": Flavour, "fillings": Filling,
    "finishes": Finish, "decorations": Decoration, "tasks": BenchTask,
}  # fmt: skip


PAPER = next(iter(PAPERS))  # one of the papers for the kitchen and the venue


@dataclass(frozen=True)
class Address:
    """One entry of the site's addresses; `takes` are the names of its arguments."""

    name: str
    takes: tuple[str, ...]


def addresses() -> list[Address]:
    """Every address that leads to a view, found by walking the site's own list of them."""

    def walk(patterns: Any, before: tuple[str, ...], space: str) -> Any:
        for entry in patterns:
            takes = (*before, *entry.pattern.converters)
            if hasattr(entry, "url_patterns"):
                inner = f"{entry.namespace}:" if entry.namespace else space
                yield from walk(entry.url_patterns, takes, inner)
            else:
                yield Address(f"{space}{entry.name or ''}", takes)

    return list(walk(get_resolver().url_patterns, (), ""))


def message_of(row: Consultation) -> Message:
    """A message of that consultation that lies in the folder, with a paper."""
    paper = {"name": "a.pdf", "type": "application/pdf", "sha256": store.keep(b"%PDF-1.7")}
    message, _ = Message.objects.get_or_create(
        message_id=f"<{row.pk}@hollin.example>",
        defaults={
            "consultation": row,
            "kind": "signed_copy",
            "to": "ann@example.org",
            "subject": "Your signed copy",
            "text": "Dear Ann,",
            "attached": [paper],
            "state": Message.State.SENT,
            "went_by": "folder",
            "due_at": timezone.now(),
            "made_at": timezone.now(),
        },
    )
    file = file_of(message)
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(b"Subject: Your signed copy\r\n\r\nDear Ann,\r\n")
    return message


def money_papers_of(row: Consultation) -> None:
    """A paper of each kind about the money of that consultation, as rows: request, receipt, cancellation."""
    if BalanceAsked.objects.filter(sheet__consultation=row).exists():
        return
    pdf, now = store.keep(b"%PDF-1.7"), timezone.now()
    sheet = row.sheets.first()
    amount = {"amount_minor": 100, "currency": "USD"}
    BalanceAsked.objects.create(
        sheet=sheet, place=0, body={}, reference="RF18539007547034", due_on=now.date(),
        pdf_sha256=pdf, asked_at=now, **amount,
    )  # fmt: skip
    payment = row.payments.create(
        received_on=now.date(), means="cash", noted_by=row.opened_by, noted_at=now, **amount
    )
    Receipt.objects.create(
        number=f"R-{row.number}-0", payment=payment, body={}, pdf_sha256=pdf, made_at=now
    )
    Cancellation.objects.create(
        consultation=row, sheet=sheet, cancelled_on=now.date(), by_client=True,
        body={"cancelling": {"due": now.date().isoformat()}}, kept_minor=0, back_minor=0,
        currency="USD", pdf_sha256=pdf, noted_by=row.opened_by, noted_at=now,
    )  # fmt: skip


MONEY_PAPERS = ("consult:balance_request", "consult:receipt", "consult:cancellation")


def path_of(address: Address, row: Consultation) -> str:
    """The address as it is asked for, for that consultation or for a row of the shop that exists."""
    photo = row.photos.first()
    for noun, model in ROWS.items():
        if address.name.startswith(f"shop_{noun}_"):
            given = {"pk": model.objects.latest("pk").pk}
            break
    else:
        if address.name == "shop_open_again":
            given = {"pk": ClosedDay.objects.latest("pk").pk}
        elif address.name.startswith("shop_"):
            given = {"pk": Person.objects.latest("pk").pk}
        else:
            given = {"pk": row.pk, "revision": 1, "sha256": photo.sha256 if photo else "0" * 64}
            given["name"] = PAPER
            given["place"] = 0
            if address.name in MONEY_PAPERS:
                money_papers_of(row)
            if address.name.startswith("consult:message"):
                given["pk"] = message_of(row).pk
            given["token"] = "A" * 43  # of no link
    return reverse(address.name, kwargs={name: given[name] for name in address.takes})


def post(browser: Client, name: str, row: Consultation, data: Any = None, **extra: Any) -> Any:
    """A form of a step sent as its page would send it."""
    row.refresh_from_db()
    return browser.post(
        reverse(f"consult:{name}", args=[row.pk]), {**keys(row), **(data or {})}, **extra
    )


def quoted_with_picture(browser: Client, person: Person, **fields: Any) -> Consultation:
    """A consultation with a picture and a sheet to sign."""
    row = make_consultation(person, **fields)
    add(browser, row, picture())
    post(browser, "sheet", row, {"lead_on": "yes"})
    row.refresh_from_db()
    assert Sheet.objects.filter(consultation=row).exists()
    return row


def signed_with_deposit(browser: Client, person: Person, **fields: Any) -> Consultation:
    """The same, signed and with its deposit asked for."""
    row = quoted_with_picture(browser, person, **fields)
    browser.post(reverse("consult:signing", args=[row.pk]), mark())
    post(browser, "deposit", row)
    row.refresh_from_db()
    assert Photo.objects.filter(consultation=row).exists()
    return row
