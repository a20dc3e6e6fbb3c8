"""Does the owner decide who works here, and is there always an owner?"""

import pytest
from django.urls import reverse

from shop.models import Person
from shop.models.person import Role

NEW = {
    "name": "Dora Quill",
    "email": "Dora@Example.org",
    "role": "staff",
    "password": "nine plum tartlets",
}


def test_somebody_taken_on_can_log_in(as_rosa, shop, client):
    assert as_rosa.post(reverse("shop_person_add"), NEW).status_code == 302
    dora = Person.objects.get(email="dora@example.org")
    assert (dora.name, dora.is_owner, dora.is_active) == ("Dora Quill", False, True)
    assert dora.check_password("nine plum tartlets")
    assert "Dora Quill" in as_rosa.get(reverse("shop_people")).content.decode()


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"email": "not an address"}, "Enter a valid email address."),
        (
            {"email": "ROSA@example.org"},
            "Somebody with this e-mail address is on the list already.",
        ),
        ({"password": "short"}, "at least 12 characters"),
        ({"role": "queen"}, "Select a valid choice."),
        ({"name": ""}, "This field is required."),
    ],
)
def test_somebody_is_not_taken_on_with_wrong_words(as_rosa, shop, wrong, says):
    answer = as_rosa.post(reverse("shop_person_add"), NEW | wrong)
    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert Person.objects.count() == 1


def test_staff_become_owner_and_get_a_new_password(as_rosa, ben, shop):
    typed = {"name": "Ben Tollak", "role": "owner", "password": "two rolling pins"}
    assert as_rosa.post(reverse("shop_person", args=[ben.pk]), typed).status_code == 302
    ben.refresh_from_db()
    assert ben.is_owner
    assert ben.check_password("two rolling pins")


def test_no_new_password_leaves_the_one_there_was(as_rosa, ben, shop):
    typed = {"name": "Benedikt Tollak", "role": "staff", "password": ""}
    as_rosa.post(reverse("shop_person", args=[ben.pk]), typed)
    ben.refresh_from_db()
    assert ben.name == "Benedikt Tollak"
    assert ben.check_password("eleven cake boards")


def test_whoever_is_let_go_cannot_go_on_and_can_be_taken_back(as_rosa, as_ben, ben, shop):
    assert as_ben.get("/account/").status_code == 200
    as_rosa.post(reverse("shop_let_go", args=[ben.pk]))
    assert as_ben.get("/account/").status_code == 302
    assert (
        "Ben Tollak"
        in as_rosa.get(reverse("shop_people")).content.decode().split("No longer here")[1]
    )
    as_rosa.post(reverse("shop_take_back", args=[ben.pk]))
    assert Person.objects.get(pk=ben.pk).is_active


def test_the_last_owner_stays(as_rosa, rosa, ben, shop):
    answer = as_rosa.post(reverse("shop_let_go", args=[rosa.pk]), follow=True)
    assert "The shop needs at least one owner who works here." in answer.content.decode()
    typed = {"name": rosa.name, "role": "staff", "password": ""}
    answer = as_rosa.post(reverse("shop_person", args=[rosa.pk]), typed)
    assert answer.status_code == 422
    rosa.refresh_from_db()
    assert (rosa.is_active, rosa.role) == (True, Role.OWNER)


@pytest.mark.parametrize("more", [0, 2])
def test_people_are_listed_in_four_queries(as_rosa, shop, django_assert_num_queries, more):
    for number in range(more):
        Person.objects.take_on(
            f"helper{number}@example.org", name=f"Helper {number}", role=Role.STAFF, password="x"
        )
    with django_assert_num_queries(4):
        as_rosa.get(reverse("shop_people"))
