"""Step photos: pictures made anew, refused ones said one by one, their colours used."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from consult.core.palette import rgb_of
from consult.models import Photo
from tests.consultations import keys, make_consultation

pytestmark = pytest.mark.django_db


def url(row):
    return reverse("consult:photos", args=[row.pk])


def picture(colour="#6B3F59", name="invitation.png"):
    image = Image.new("RGB", (400, 300), "#F8F1E6")
    image.paste(Image.new("RGB", (160, 300), colour), (0, 0))
    out = io.BytesIO()
    image.save(out, "PNG")
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/png")


def add(browser, row, *files):
    return browser.post(url(row), {"upload": "yes", "pictures": list(files)})


def test_a_picture_is_kept_with_its_colours(rosa, as_rosa):
    row = make_consultation(rosa)
    assert add(as_rosa, row, picture()).status_code == 200
    photo = Photo.objects.get(consultation=row)
    found = [rgb_of(swatch["hex"]) for swatch in photo.swatches]
    for wanted in (
        (0x6B, 0x3F, 0x59),
        (0xF8, 0xF1, 0xE6),
    ):  # JPEG shifts a channel by a step or two
        assert min(max(abs(a - b) for a, b in zip(one, wanted, strict=True)) for one in found) <= 3
    shown = as_rosa.get(reverse("consult:picture", args=[row.pk, photo.sha256]))
    assert shown["Content-Type"] == "image/jpeg"
    assert shown["X-Content-Type-Options"] == "nosniff"
    assert Image.open(io.BytesIO(shown.content)).size == (400, 300)


def test_the_same_picture_twice_is_kept_once(rosa, as_rosa):
    row = make_consultation(rosa)
    add(as_rosa, row, picture())
    add(as_rosa, row, picture())
    assert Photo.objects.filter(consultation=row).count() == 1


def test_a_text_named_jpg_is_refused_by_name_and_keeps_no_other_out(rosa, as_rosa):
    row = make_consultation(rosa)
    text = SimpleUploadedFile("wish.jpg", b"a cake with figs", content_type="image/jpeg")
    answer = add(as_rosa, row, text, picture())
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "wish.jpg: " in html
    assert Photo.objects.filter(consultation=row).count() == 1


def test_a_photo_of_60_mb_is_refused_in_words(rosa, as_rosa):
    row = make_consultation(rosa)
    huge = SimpleUploadedFile("huge.jpg", b"\xff\xd8" + bytes(60 * 2**20), "image/jpeg")
    html = add(as_rosa, row, huge).content.decode()
    assert "huge.jpg: " in html
    assert "MB" in html[html.index("huge.jpg: ") :][:200]
    assert not Photo.objects.exists()


def test_no_file_chosen_is_said(rosa, as_rosa):
    row = make_consultation(rosa)
    assert "Choose a picture first." in add(as_rosa, row).content.decode()


def test_a_caption_is_kept(rosa, as_rosa):
    row = make_consultation(rosa)
    add(as_rosa, row, picture())
    photo = Photo.objects.get()
    row.refresh_from_db()
    as_rosa.post(url(row), {f"caption_{photo.pk}": "the invitation", **keys(row)})
    photo.refresh_from_db()
    assert photo.caption == "the invitation"


def test_a_colour_of_a_picture_becomes_the_cakes_and_goes_again(rosa, as_rosa):
    row = make_consultation(rosa)
    add(as_rosa, row, picture())
    row.refresh_from_db()
    plum = Photo.objects.get().swatches[1]["hex"]
    as_rosa.post(url(row), {"use": plum, **keys(row)})
    swatches = row.designs.get(letter="A").as_value().swatches
    assert [swatch.hex for swatch in swatches] == [plum]
    finishes = as_rosa.get(reverse("consult:finishes", args=[row.pk])).content.decode()
    assert f'value="{plum}"' in finishes
    row.refresh_from_db()
    as_rosa.post(url(row), {"drop": plum, **keys(row)})
    assert row.designs.get(letter="A").as_value().swatches == ()


def test_a_picture_is_taken_off(rosa, as_rosa):
    row = make_consultation(rosa)
    add(as_rosa, row, picture())
    row.refresh_from_db()
    as_rosa.post(url(row), {"take_off": str(Photo.objects.get().pk), **keys(row)})
    assert not Photo.objects.exists()


def test_a_picture_is_shown_only_with_its_own_consultation_and_to_nobody_outside(
    rosa, as_rosa, cyril
):
    row, other = make_consultation(rosa), make_consultation(rosa)
    add(as_rosa, row, picture())
    photo = Photo.objects.get()
    mine = reverse("consult:picture", args=[row.pk, photo.sha256])
    assert as_rosa.get(mine).status_code == 200
    assert as_rosa.get(reverse("consult:picture", args=[other.pk, photo.sha256])).status_code == 404
    assert cyril.get(mine).status_code == 302
    assert as_rosa.get(reverse("consult:picture", args=[row.pk, "0" * 64])).status_code == 404
