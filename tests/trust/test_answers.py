"""What does every answer carry, whatever became of the request? And does reading change anything?"""

import re

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from consult.models import Photo, Sheet, Tally
from shop.actions import change_in_catalogue
from shop.models import Flavour, Person
from tests.conftest import BACKEND, logged_in
from tests.consultations import make_consultation
from tests.steps.test_photos import add, picture
from tests.trust.access import ACCESS
from tests.trust.stage import addresses, path_of, quoted_with_picture, signed_with_deposit

pytestmark = pytest.mark.django_db


def complaints(answer):
    """Which of the strict headers the answer lacks."""
    policy = answer.headers.get("Content-Security-Policy", "")
    wanted = {
        "nothing by default": "default-src 'none'" in policy,
        "own scripts only": "script-src 'self';" in policy + ";",
        "never framed": "frame-ancestors 'none'" in policy,
        "no base": "base-uri 'none'" in policy,
        "no unsafe word": "unsafe" not in policy and "*" not in policy,
        "nosniff": answer.headers.get("X-Content-Type-Options") == "nosniff",
        "referrer": answer.headers.get("Referrer-Policy") == "same-origin",
        "opener": answer.headers.get("Cross-Origin-Opener-Policy") == "same-origin",
        "charset": "charset" in answer.headers.get("Content-Type", "charset")
        or not answer.headers["Content-Type"].startswith("text/"),
    }
    return [name for name, holds in wanted.items() if not holds]


def test_every_class_of_answer_carries_the_headers(shop, rosa, ben, as_rosa, as_ben):
    row = signed_with_deposit(as_rosa, rosa)
    as_rosa.raise_request_exception = False
    step = reverse("consult:servings", args=[row.pk])
    paper = reverse("consult:design_sheet", args=[row.pk, 1])
    photo = reverse("consult:picture", args=[row.pk, Photo.objects.get().sha256])
    many = {f"field{n}": "" for n in range(2_001)}
    answers = [
        as_rosa.get("/"), as_rosa.get(paper), as_rosa.get(photo), as_rosa.get("/manifest.webmanifest"),
        Client().get("/"), as_rosa.post("/log-in/"), as_ben.get("/shop/"), as_rosa.get("/nowhere/"),
        as_rosa.post("/"), as_rosa.post(step, {"guests": "x"}), as_rosa.post(step, many),
        as_rosa.get("/", HTTP_HOST="elsewhere.example"), as_rosa.get(step, HTTP_HX_REQUEST="true"),
        as_rosa.get(f"/consultations/{'9' * 5000}/"),
        Client(enforce_csrf_checks=True).post("/log-in/", {"username": "x"}),
    ]  # fmt: skip
    classes = {answer.status_code for answer in answers}
    assert classes >= {200, 302, 400, 403, 404, 405, 422}
    assert {a.request["PATH_INFO"][:60]: w for a in answers if (w := complaints(a))} == {}


def test_no_page_of_the_shop_is_kept_by_the_browser(shop, rosa, as_rosa):
    """The back button of a handed-over tablet must not show what was on it before."""
    row = signed_with_deposit(as_rosa, rosa)
    kept = []
    for address in addresses():
        if "GET" in ACCESS[address.name][1] and address.name not in ("manifest", "consult:picture"):
            answer = as_rosa.get(path_of(address, row))
            if "no-store" not in answer.headers.get("Cache-Control", ""):
                kept.append(address.name)
    assert kept == []


def test_the_handed_over_tablet_is_not_shown_what_stands_beside_a_step(rosa, as_rosa):
    row = quoted_with_picture(as_rosa, rosa)
    as_rosa.post(reverse("consult:hand_over", args=[row.pk]))
    url = reverse("consult:signing", args=[row.pk])
    for answer in (
        as_rosa.get(url, HTTP_HX_REQUEST="true"),
        as_rosa.post(url, {"name": ""}, HTTP_HX_REQUEST="true"),
    ):
        page = answer.content.decode()
        assert 'id="id_name"' in page
        for word in ("Bench hours", "so-far", "trail", reverse("consult:overview", args=[row.pk])):
            assert word not in page


def test_a_form_without_the_sites_token_changes_nothing(shop, rosa, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    forger = Client(enforce_csrf_checks=True)
    forger.force_login(rosa, backend=BACKEND)
    written = [address for address in addresses() if "POST" in ACCESS[address.name][1]]
    paths = [(address, path_of(address, row)) for address in written]
    before = everything()
    for address, path in paths:
        for extra in ({}, {"HTTP_ORIGIN": "https://elsewhere.example"}):
            answer = forger.post(path, {"csrfmiddlewaretoken": "x" * 64}, **extra)
            assert answer.status_code == 403, address.name
    assert everything() == before


def everything():
    """Every row of ours, as values: what reading must leave as it is. What counts readings does count them."""
    return {
        model._meta.label: list(model._base_manager.order_by("pk").values())
        for model in apps.get_models()
        if model._meta.app_label in ("shop", "consult", "auth", "axes") and model is not Tally
    }


def test_reading_changes_no_row(shop, rosa, ben, as_rosa):
    row = signed_with_deposit(as_rosa, rosa)
    open_one = quoted_with_picture(as_rosa, rosa)
    change_in_catalogue(Flavour.objects.first(), name="Orange blossom")  # the book has moved on
    readers = [Client(), logged_in(ben), logged_in(rosa)]
    paths = [(path_of(address, open_one), path_of(address, row)) for address in addresses()]
    before = everything()
    for reader in readers:
        for open_path, signed_path in paths:
            reader.get(open_path, {"stack": "x", "add": "1", "month": ""})
            if reader is readers[-1]:
                reader.head(signed_path)
    assert everything() == before


def test_the_watch_over_all_rows_sees_a_change(shop, rosa):
    before = everything()
    Person.objects.filter(pk=rosa.pk).update(name="Somebody Else")
    assert everything() != before


NAMES = ["../../../escaped.jpg", "..\\..\\escaped.jpg", "/etc/escaped.jpg", "C:\\escaped.jpg", "CON.jpg", "a\x00b.jpg",
         "escaped.jpg.", "x" * 300 + ".jpg",
         "..\u2215..\u2215escaped.jpg", ".htaccess", "<script>.jpg", "%2e%2e%2fescaped.jpg", ""]  # fmt: skip


def test_the_name_of_an_upload_names_no_file_of_ours(rosa, as_rosa, media, tmp_path):
    row = make_consultation(rosa)
    for number, name in enumerate(NAMES[:12]):
        file = picture(f"#{number * 20:02x}6b{250 - number * 20:02x}")
        file.name = "x.png"
        sent = SimpleUploadedFile("x.png", file.read(), "image/png")
        sent._name = name  # what a browser may say; Django's own setter would clean it
        answer = add(as_rosa, row, sent)
        assert answer.status_code in (200, 422), name
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert files
    assert all(path.is_relative_to(media) for path in files)
    assert all(re.fullmatch(r"[0-9a-f]{2}/[0-9a-f]{64}", str(p.relative_to(media))) for p in files)
    assert not list(tmp_path.parent.glob("**/escaped*"))


def test_media_is_reached_by_no_static_or_media_address(rosa, as_rosa, media):
    row = quoted_with_picture(as_rosa, rosa)
    photo, sheet = Photo.objects.get(), Sheet.objects.get()
    for digest in (photo.sha256, sheet.pdf_sha256):
        name = f"{digest[:2]}/{digest}"
        assert default_storage.exists(name)
        tries = [f"/{name}", f"/media/{name}", f"/static/{name}", f"/static/../media/{name}", f"/data/media/{name}",
                 f"/static/%2e%2e/%2e%2e/data/media/{name}", f"/media/{digest}", f"/static/media/{name}"]  # fmt: skip
        for path in tries:
            for browser in (as_rosa, Client()):
                answer = browser.get(path, HTTP_RANGE="bytes=0-10")
                assert answer.status_code in (302, 404), path
                assert answer.content[:4] not in (b"%PDF", b"\xff\xd8\xff\xe0")
    paper = reverse("consult:design_sheet", args=[row.pk, 1])
    answer = as_rosa.get(paper)
    assert answer["Cache-Control"] == "private, no-store"
    assert re.fullmatch(r'inline; filename="[\w.-]+\.pdf"', answer["Content-Disposition"])
    as_rosa.post("/log-out/")
    assert as_rosa.get(paper).status_code == 302
