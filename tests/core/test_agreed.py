"""Does the schedule for cancelling stand on the sheet in words and money, and agree with what is kept later?"""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consult.core.agreed import NOTHING_KEPT, agreed_of, cancel_lines
from consult.core.contract import means_words, photo_words
from shop.core.money import Money
from shop.core.policies import Agreement, CancelStep

HAND_OVER = date(2027, 5, 15)
SCHEDULE = (
    CancelStep(60, Decimal("0.1")),
    CancelStep(30, Decimal("0.25")),
    CancelStep(14, Decimal("0.5")),
    CancelStep(7, Decimal(1)),
)


def dollars(amount):
    return Money.of(amount, "USD")


def lines(steps=SCHEDULE, total="515.00", deposit="257.50"):
    return cancel_lines(steps, dollars(total), dollars(deposit), HAND_OVER)


def test_each_step_says_its_days_its_last_day_and_its_money():
    # Worked by hand: 15 May less 60 days is 16 March, less 30 is 15 April, less 14 is 1 May.
    said = [(one.notice, one.until, str(one.costs), str(one.back)) for one in lines()]
    assert said == [
        ("60 days or more before hand-over", date(2027, 3, 16), "51.50", "206.00"),
        ("30 to 59 days before hand-over", date(2027, 4, 15), "128.75", "128.75"),
        ("14 to 29 days before hand-over", date(2027, 5, 1), "257.50", "0.00"),
        ("13 days or less before hand-over", None, "515.00", "0.00"),
    ]


def test_with_less_notice_than_the_last_step_all_of_the_total_is_charged():
    said = lines((CancelStep(10, Decimal("0.3")),))
    assert [(one.notice, one.share) for one in said] == [
        ("10 days or more before hand-over", Decimal("0.3")),
        ("9 days or less before hand-over", Decimal(1)),
    ]
    one_day = lines((CancelStep(1, Decimal("0.3")),))
    assert one_day[-1].notice == "On the day of hand-over"


def test_a_last_step_of_no_days_holds_to_the_end():
    said = lines((CancelStep(30, Decimal(0)), CancelStep(0, Decimal("0.4"))))
    assert [(one.notice, str(one.costs)) for one in said] == [
        ("30 days or more before hand-over", "0.00"),
        ("29 days or less before hand-over", "206.00"),
    ]


def test_without_a_schedule_nothing_is_charged_and_that_is_said():
    agreed = agreed_of(
        Agreement(), total=dollars("515"), deposit=dollars("257.50"), hand_over=HAND_OVER,
        quoted_on=date(2027, 2, 20), locale="en_US",
    )  # fmt: skip
    assert agreed.cancelling == ()
    assert agreed.cancelling_words == NOTHING_KEPT


@given(
    days=st.lists(st.integers(0, 400), min_size=1, max_size=6, unique=True),
    shares=st.lists(st.decimals(0, 1, places=4), min_size=6, max_size=6),
    minor=st.integers(1, 5_000_000),
    notice=st.integers(0, 500),
)
def test_the_line_that_a_notice_falls_in_charges_what_the_policy_says(days, shares, minor, notice):
    """The step with the most days that the notice reaches; with none reached, all of the total."""
    steps = tuple(
        CancelStep(day, share) for day, share in zip(sorted(days), sorted(shares, reverse=True), strict=False)
    )  # fmt: skip
    total = Money(minor, "USD")
    found = cancel_lines(steps, total, Money(minor // 2, "USD"), HAND_OVER)
    reached = [step for step in steps if step.days_before <= notice]
    share = max(reached, key=lambda step: step.days_before).share if reached else Decimal(1)
    given_on = HAND_OVER - timedelta(days=notice)
    holds = next(one for one in found if one.until is None or given_on <= one.until)
    assert holds.costs == total.times(share)
    assert Money.zero("USD") <= holds.back <= Money(minor // 2, "USD")


def agreed(quoted_on=date(2027, 2, 20), **changes):
    return agreed_of(
        Agreement(cancelling=SCHEDULE, **changes), total=dollars("515"), deposit=dollars("257.50"),
        hand_over=HAND_OVER, quoted_on=quoted_on, locale="en_US",
    )  # fmt: skip


def test_changes_and_the_guest_count_have_a_last_day():
    said = agreed(changes_until_days=14, count_until_days=21)
    assert (said.changes_until, said.count_until) == (date(2027, 5, 1), date(2027, 4, 24))
    assert "until May 1, 2027" in said.changes_words
    assert "until April 24, 2027" in said.count_words


def test_where_that_day_is_past_the_count_is_final():
    said = agreed(quoted_on=date(2027, 5, 5))
    assert said.count_words == "The guest count on this sheet is final."
    assert "There is little time" in said.changes_words


def test_no_answer_on_photographs_allows_nothing():
    assert [photo_words(answer) for answer in (True, False, None)] == [
        "allowed", "not allowed", "not answered, so not allowed",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (
            {"typed": False, "witness": "Rosa Abara", "by_link": False},
            "Mark drawn by hand on a screen, on the shop's tablet at the counter, in the presence of Rosa Abara.",
        ),
        (
            {"typed": True, "witness": "", "by_link": True, "sent_to": "ann@example.org"},
            "Name typed, on a device of the client's own, by a private link that was sent to ann@example.org.",
        ),
        ({"typed": True, "witness": "", "by_link": False}, "Name typed."),
    ],
)
def test_the_means_of_signing_are_said_as_a_sentence(told, says):
    assert means_words(**told) == says
