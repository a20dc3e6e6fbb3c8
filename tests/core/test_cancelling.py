"""Does cancelling keep what was agreed and no more, with a working that adds up?"""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from consult.core.agreed import agreed_of
from consult.core.cancelling import (
    cancelling_of,
    caution,
    kept_of,
    schedule_in_words,
    share_kept,
    steps_signed,
    without_a_term,
)
from shop.core.money import Money
from shop.core.policies import Agreement, CancelStep

HAND_OVER = date(2027, 5, 15)
STEPS = (CancelStep(60, Decimal("0.25")), CancelStep(30, Decimal("0.5")))


def usd(text):
    return Money.of(text, "USD")


def came_to(days=45, received="257.50", by_client=True, total="515.00", steps=STEPS):
    return cancelling_of(
        total=usd(total), deposit=usd("257.50"), received=usd(received), steps=steps,
        hand_over=HAND_OVER, cancelled_on=HAND_OVER - timedelta(days=days), by_client=by_client,
        due=HAND_OVER,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("days", "share"),
    [(365, "0.25"), (60, "0.25"), (59, "0.5"), (30, "0.5"), (29, "1"), (0, "1"), (-3, "1")],
)
def test_the_longest_step_that_the_notice_reaches_holds(days, share):
    assert share_kept(STEPS, days) == Decimal(share)


def test_without_a_schedule_nothing_is_kept():
    assert share_kept((), 0) == 0
    assert came_to(steps=()).back == usd("257.50")


def test_the_working_says_the_notice_the_step_and_the_deposits_part():
    # Worked by hand: half of 515.00 is 257.50; 300.00 came in, so 42.50 goes back.
    of = came_to(days=45, received="300.00")
    assert (of.kept, of.back, of.owed) == (usd("257.50"), usd("42.50"), usd("0"))
    assert of.working == (
        "Cancelled by the client on March 31, 2027, 45 days before hand-over on May 15, 2027.",
        "Kept on cancelling: 60 days or more before hand-over 25 % of the total;"
        " 30 days or more before hand-over 50 % of the total; later 100 % of the total.",
        "The notice reaches the step of 30 days: 50 % of $515.00 is $257.50.",
        "Received $300.00, kept $257.50: $42.50 goes back.",
        "Of the deposit of $257.50, $257.50 had come in: $257.50 of that is kept, $0.00 goes back.",
    )


def test_less_paid_than_kept_leaves_a_rest_to_pay():
    of = came_to(days=10, received="100.00")
    assert (of.kept, of.back, of.owed) == (usd("515"), usd("0"), usd("415"))
    assert "$415.00 is still to pay" in " ".join(of.working)


def test_when_the_shop_cancels_everything_goes_back():
    of = came_to(days=0, by_client=False)
    assert (of.share, of.kept, of.back, of.owed) == (0, usd("0"), usd("257.50"), usd("0"))
    assert "Nothing is kept" in of.working[1]


def test_a_single_step_on_the_day_itself_is_said_plainly():
    assert schedule_in_words((CancelStep(0, Decimal("0.2")),)) == (
        "Kept on cancelling: 20 % of the total."
    )


@pytest.mark.parametrize("steps", [STEPS, (CancelStep(0, Decimal("0.3")),), ()])
def test_what_is_kept_is_what_the_signed_sheet_says_for_that_day(steps):
    agreed = agreed_of(
        Agreement(cancelling=steps), total=usd("515.55"), deposit=usd("257.78"),
        hand_over=HAND_OVER, quoted_on=date(2027, 1, 4), locale="en_US",
    )  # fmt: skip
    signed = steps_signed(agreed, HAND_OVER)
    for days in range(120):
        assert share_kept(signed, days) == share_kept(steps, days)
        on = HAND_OVER - timedelta(days=days)
        if not agreed.cancelling:
            continue
        line = next(one for one in agreed.cancelling if one.until is None or on <= one.until)
        assert kept_of(usd("515.55"), share_kept(steps, days)) == line.costs


# UCC 2-718(2)(b): the smaller of 20 % of the total performance and $500.
@pytest.mark.parametrize(
    ("total", "keeps"),
    [("1000.00", "200.00"), ("2500.00", "500.00"), ("2500.05", "500.00"), ("9000.00", "500.00"),
     ("0.04", "0.01")],
)  # fmt: skip
def test_without_a_term_a_seller_of_goods_keeps_the_smaller_of_a_fifth_and_500_dollars(
    total, keeps
):
    assert without_a_term(usd(total)) == usd(keeps)
    assert without_a_term(Money.of(total, "EUR")) is None


def test_the_owner_is_cautioned_where_the_schedule_keeps_more_than_that():
    assert "$103.00" in caution(came_to(days=45), "us")  # a fifth of 515.00
    fifth = (CancelStep(0, Decimal("0.2")),)
    assert caution(came_to(days=45, steps=fifth), "us") == ""
    assert caution(came_to(by_client=False), "us") == ""
    # CMA37: what is kept should reflect what is lost.
    assert "really loses" in caution(came_to(days=10), "uk")
    assert caution(came_to(days=45), "uk") == ""


SHARES = st.integers(0, 10_000).map(lambda basis_points: Decimal(basis_points) / 10_000)
STEP_LISTS = st.lists(
    st.builds(CancelStep, st.integers(0, 365), SHARES),
    max_size=5,
    unique_by=lambda s: s.days_before,
)


@settings(max_examples=300, deadline=None)
@given(
    currency=st.sampled_from(["JPY", "EUR", "KWD"]),
    total=st.integers(0, 10**9),
    received=st.integers(0, 10**9),
    steps=STEP_LISTS,
    days=st.integers(-5, 400),
    by_client=st.booleans(),
)
def test_what_is_kept_never_passes_the_schedule_and_the_sums_meet(
    currency, total, received, steps, days, by_client
):
    whole, paid = Money(total, currency), Money(received, currency)
    of = cancelling_of(
        total=whole, deposit=whole.times(Decimal("0.5")), received=paid, steps=steps,
        hand_over=HAND_OVER, cancelled_on=HAND_OVER - timedelta(days=days), by_client=by_client,
        due=HAND_OVER,
    )  # fmt: skip
    nothing = Money.zero(currency)
    assert paid - of.back + of.owed == of.kept
    assert nothing <= of.kept <= whole
    assert of.back >= nothing
    assert of.owed >= nothing
    assert not (of.back and of.owed)
    assert of.kept == (kept_of(whole, share_kept(steps, days)) if by_client else nothing)
    assert abs(Decimal(of.kept.minor) - Decimal(total) * of.share) <= Decimal("0.5")
