"""Does the page for the kitchen say why its figures are so?"""

import pytest
from django.urls import reverse
from django.utils.html import escape

from consult.core.bench import bench_of
from consult.core.design import Design
from consult.finding import consultation_at_hand
from tests.consultations import make_consultation

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(rosa, as_rosa):
    row = make_consultation(rosa)
    at = consultation_at_hand(row.pk)
    bench = bench_of(at.brief, at.book, at.reckoning.work, at.today, at.booked)
    return as_rosa.get(reverse("consult:work", args=[row.pk])).content.decode(), bench, row


def test_each_join_says_why_so_many_and_with_what_safety_it_carries(page):
    html, bench, _ = page
    assert bench.supports.every_join
    for join in bench.supports.every_join:
        assert escape(f"{join.title}: {join.count} of {bench.supports.rod_words}") in html
        assert escape(join.count_why) in html
        allowed = join.capacity.limit_n / join.capacity.safety
        assert (
            f"One gives way at {join.capacity.limit_n:.0f} N, by {join.capacity.gives_way_by}; with a"
            f" safety factor of {join.capacity.safety:g} it may carry {allowed:.0f} N."
        ) in html


def test_batter_and_coats_of_each_tier_open_to_how_they_came_about(page):
    html, bench, _ = page
    assert len(bench.quantities.tiers) == 3
    for tier in bench.quantities.tiers:
        assert {name for name, _ in tier.why} >= {"batter", "crumb coat", "final coat"}
        for name, words in tier.why:
            assert f"<li>{name.capitalize()}: {escape(words)}</li>" in html


def test_the_pictures_of_the_cut_are_those_of_the_servings_step(page):
    html, _, row = page
    assert f'hx-get="{reverse("consult:servings", args=[row.pk])}?plans=yes"' in html


def test_without_tiers_nothing_is_said(rosa, as_rosa):
    row = make_consultation(rosa, design=Design())
    html = as_rosa.get(reverse("consult:work", args=[row.pk])).content.decode()
    assert "There are no tiers yet." in html
    assert "knife-plans" not in html
