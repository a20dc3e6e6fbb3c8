"""Are limits exact, also when everybody comes at once?"""

from datetime import UTC, datetime, timedelta

import pytest
from django.test import RequestFactory, override_settings

from consult import limits
from consult.models import Tally
from tests.trust.together import together

AT = datetime(2027, 5, 15, 12, 0, 5, tzinfo=UTC)


def once_more(who="192.0.2.7", **fields):
    return limits.allowed("links", who, **{"most": 10, "seconds": 60, "now": AT, **fields})


@pytest.mark.django_db(transaction=True)
def test_of_two_hundred_at_once_exactly_ten_are_allowed():
    outcomes = together([lambda: [once_more() for _ in range(25)] for _ in range(8)])
    assert sum(allowed for worker in outcomes for allowed in worker) == 10
    assert Tally.objects.get().count == 200


@pytest.mark.django_db(transaction=True)
def test_counted_by_reading_and_then_writing_more_get_through():
    """The control: without the one statement that counts and answers, workers count over each other."""
    Tally.objects.create(key="plain", window=AT)

    def counted():
        passed = 0
        for _ in range(25):
            row = Tally.objects.get(key="plain")
            Tally.objects.filter(pk=row.pk).update(count=row.count + 1)
            passed += row.count < 10
        return passed

    assert sum(together([counted] * 8)) > 10


@pytest.mark.django_db
def test_each_asker_and_each_window_is_counted_alone():
    assert [once_more(most=2) for _ in range(3)] == [True, True, False]
    assert once_more("192.0.2.8", most=2) is True
    assert once_more(most=2, now=AT + timedelta(minutes=1)) is True
    assert limits.allowed("other", "192.0.2.7", most=2, seconds=60, now=AT) is True


@pytest.mark.django_db
def test_no_address_is_kept_and_old_counts_go():
    once_more()
    assert "192.0.2.7" not in Tally.objects.get().key
    once_more(now=AT + timedelta(days=2))
    assert Tally.objects.count() == 1


@pytest.mark.parametrize(
    ("address", "counted_as"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:aaaa::1", "2001:db8:1:2::/64"),  # RFC 6177: a household has at least a /64
        ("2001:db8:1:2:bbbb::9", "2001:db8:1:2::/64"),
        ("no address", "unknown"),
    ],
)
def test_a_household_is_counted_as_one(address, counted_as):
    assert limits.neighbourhood(address) == counted_as


def test_a_forwarded_address_is_believed_from_the_shops_own_proxy_only():
    asked = RequestFactory().get(
        "/", REMOTE_ADDR="198.51.100.1", headers={"x-forwarded-for": "203.0.113.9, 192.0.2.7"}
    )
    with override_settings(SECURE_PROXY_SSL_HEADER=None):
        assert limits.address_of(asked) == "198.51.100.1"
    with override_settings(SECURE_PROXY_SSL_HEADER=("HTTP_X_FORWARDED_PROTO", "https")):
        assert limits.address_of(asked) == "192.0.2.7"
