"""What the kitchen and the venue get: a page and four papers, of the same cake, without a price."""

import pytest
from django.urls import reverse

from consult.bench_papers import PAPERS
from consult.core.design import Design
from tests.consultations import make_consultation
from tests.papers import words_of

pytestmark = pytest.mark.django_db


def test_the_work_is_shown_by_the_clock_with_supports_and_shopping(rosa, as_rosa):
    row = make_consultation(rosa)
    page = as_rosa.get(reverse("consult:work", args=[row.pk]))
    bench = page.context["bench"]
    html = page.content.decode()
    assert page.status_code == 200
    assert bench.schedule.holds
    assert len(bench.supports.joins) == 2
    for line in bench.quantities.shopping.lines:
        assert line.name in html


@pytest.mark.parametrize("name", PAPERS)
def test_each_paper_is_printed_with_the_cakes_name_and_no_price(name, rosa, as_rosa):
    row = make_consultation(rosa)
    answer = as_rosa.get(reverse("consult:bench_paper", args=[row.pk, name]))
    assert answer["Content-Type"] == "application/pdf"
    words = words_of(answer.content)
    assert row.number in words
    assert "$" not in words


def test_there_is_no_paper_without_tiers_nor_by_another_name(rosa, as_rosa):
    bare, row = make_consultation(rosa, design=Design()), make_consultation(rosa)
    assert as_rosa.get(reverse("consult:bench_paper", args=[bare.pk, "labels"])).status_code == 404
    assert as_rosa.get(reverse("consult:bench_paper", args=[row.pk, "ransom"])).status_code == 404
    assert as_rosa.get(reverse("consult:work", args=[bare.pk])).status_code == 200


def test_a_stranger_gets_none_of_it(rosa, cyril):
    row = make_consultation(rosa)
    assert cyril.get(reverse("consult:work", args=[row.pk])).status_code == 302
    assert cyril.get(reverse("consult:bench_paper", args=[row.pk, "labels"])).status_code == 302
