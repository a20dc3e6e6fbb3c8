"""Are the owner's pages the owner's? Staff are told so, a stranger is asked to log in, on every one of them."""

import pytest
from django.urls import get_resolver, reverse

from shop.models import Pan, Person
from shop.pages import urls

WITHOUT_ROW = [pattern.name for pattern in urls.urlpatterns if "<" not in str(pattern.pattern)]
WITH_ROW = [pattern.name for pattern in urls.urlpatterns if "<" in str(pattern.pattern)]


def addresses():
    """Each address of the owner's pages; a row's number where it needs one."""
    rows = {name: Pan.objects.first().pk for name in WITH_ROW}
    return [reverse(name) for name in WITHOUT_ROW] + [
        reverse(name, args=[pk]) for name, pk in rows.items()
    ]


def test_the_owners_pages_are_all_in_the_addresses():
    assert len(WITHOUT_ROW) == 28
    assert len(WITH_ROW) == 36
    assert all(reverse(name) for name in WITHOUT_ROW)
    assert get_resolver().reverse_dict


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_asked_to_log_in(cyril, shop, method):
    for address in addresses():
        answer = getattr(cyril, method)(address)
        assert answer.status_code == 302, address
        assert answer.url == f"/log-in/?next={address}"


@pytest.mark.parametrize("method", ["get", "post"])
def test_staff_are_told_that_only_the_owner_opens_them(as_ben, shop, method):
    for address in addresses():
        answer = getattr(as_ben, method)(address)
        assert answer.status_code == 403, address
        assert "Only the owner can open this page." in answer.content.decode()


def test_the_owner_opens_every_page_that_can_be_read(as_rosa, shop):
    for name in WITHOUT_ROW:
        if name != "shop_close":
            answer = as_rosa.get(reverse(name))
            assert answer.status_code == 200, name


@pytest.mark.parametrize("verb", ["take_off", "put_back", "to_top"])
def test_a_button_is_never_pressed_by_reading(as_rosa, shop, verb):
    pan = Pan.objects.first()
    assert as_rosa.get(reverse(f"shop_pans_{verb}", args=[pan.pk])).status_code == 405
    assert Pan.objects.get(pk=pan.pk).is_offered


def test_the_menu_leads_only_the_owner_to_the_shop(as_rosa, as_ben, shop):
    link = 'href="/shop/"'
    assert link in as_rosa.get("/account/").content.decode()
    assert link not in as_ben.get("/account/").content.decode()
    assert Person.objects.count() == 2
