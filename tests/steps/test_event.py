"""Step event: who, what for, when, where it leaves the shop's hands, what must be avoided."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from consult.models import Consultation
from tests.consultations import a_saturday, keys, make_consultation

pytestmark = pytest.mark.django_db


def answers(row, **changes):
    return {
        "client_name": "Łucja Żak-O'Brien",
        "client_phone": "+1 555 0100",
        "client_email": "lucja@example.org",
        "occasion": "wedding",
        "event_on": a_saturday().isoformat(),
        "hand_over_how": "delivery",
        "hand_over_at": "11:30",
        "distance_km": "12,5",
        "place": "Old Mill",
        "avoid": ["hazelnut"],
        "notes": "Ring the bell",
        **keys(row),
        **changes,
    }


def post(browser, row, **kwargs):
    return browser.post(reverse("consult:event", args=[row.pk]), **kwargs)


def test_the_answers_are_kept(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = post(as_rosa, row, data=answers(row))
    assert answer.status_code == 302
    kept = Consultation.objects.get(pk=row.pk)
    assert kept.client_name == "Łucja Żak-O'Brien"
    assert str(kept.distance_km) == "12.5"
    assert kept.avoid == ["hazelnut"]
    assert kept.event_on == a_saturday()


def test_next_leads_on_to_the_servings(rosa, as_rosa):
    row = make_consultation(rosa)
    answer = post(as_rosa, row, data=answers(row, lead_on="yes"))
    assert answer["Location"] == reverse("consult:servings", args=[row.pk])


def test_a_day_in_the_past_is_refused_beside_its_field_and_nothing_typed_is_lost(rosa, as_rosa):
    row = make_consultation(rosa)
    yesterday = (timezone.localdate() - timedelta(days=1)).isoformat()
    answer = post(as_rosa, row, data=answers(row, event_on=yesterday))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="id_event_on_error"' in html
    assert "That day is past." in html
    assert "Old Mill" in html
    assert "Łucja Żak-O&#x27;Brien" in html
    assert Consultation.objects.get(pk=row.pk).client_name == "Ann Okafor"


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("client_email", "ann at home", "no e-mail address"),
        ("event_on", "next spring", "Type a date"),
        ("hand_over_at", "03:00", "hands cakes over from"),
        ("hand_over_at", "noonish", "Type a time"),
        ("distance_km", "4000", "delivers up to"),
        ("distance_km", "far", "Type a number"),
    ],
)
def test_a_wrong_answer_is_said_in_words_beside_its_field(field, typed, says, rosa, as_rosa):
    row = make_consultation(rosa)
    answer = post(as_rosa, row, data=answers(row, **{field: typed}))
    html = answer.content.decode()
    assert answer.status_code == 422
    beside = html[html.index(f'id="id_{field}_error"') :][:400]
    assert says in beside


def test_a_day_pressed_in_the_calendar_is_the_date(rosa, as_rosa):
    row = make_consultation(rosa)
    day = a_saturday(30)
    post(as_rosa, row, data=answers(row, pick=day.isoformat()))
    assert Consultation.objects.get(pk=row.pk).event_on == day


def test_the_calendar_turns_to_another_month(rosa, as_rosa):
    row = make_consultation(rosa)
    page = as_rosa.get(reverse("consult:event", args=[row.pk]), {"month": "2031-02"})
    assert "February 2031" in page.content.decode()


def test_somebody_faster_shows_both_versions_and_loses_neither(rosa, as_rosa, ben, as_ben):
    row = make_consultation(rosa)
    post(as_ben, row, data=answers(row, client_name="Ann O.", page="his"))
    answer = post(as_rosa, row, data=answers(row, client_name="Ann Lind", page="hers"))
    html = answer.content.decode()
    assert answer.status_code == 409
    assert "Somebody else changed this consultation" in html
    assert "<td>Ann Lind</td><td>Ann O.</td>" in html
    assert 'value="Ann Lind"' in html
    assert Consultation.objects.get(pk=row.pk).client_name == "Ann O."


def test_the_same_form_sent_twice_is_one_change(rosa, as_rosa):
    row = make_consultation(rosa)
    data = answers(row, once="a key made on the tablet")
    for _ in range(3):
        assert post(as_rosa, row, data=data).status_code == 302
    assert Consultation.objects.get(pk=row.pk).revision == 2


def test_words_are_typed_in_the_direction_of_their_script(rosa, as_rosa):
    html = as_rosa.get(reverse("consult:event", args=[make_consultation(rosa).pk])).content.decode()
    for name in ("client_name", "notes"):
        tag = next(part for part in html.split("<") if f'name="{name}"' in part)
        assert 'dir="auto"' in tag
