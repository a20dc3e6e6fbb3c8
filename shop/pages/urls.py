"""Which address leads to which page of the shop's own set-up? All of them are the owner's."""

from django.urls import path

from shop.pages import hours, people
from shop.pages.agreement import agreement
from shop.pages.identity import identity
from shop.pages.index import NOUNS, index
from shop.pages.inquiries import inquiries
from shop.pages.kitchen import kitchen
from shop.pages.listed import addresses
from shop.pages.prices import prices
from shop.pages.stacks import stacks
from shop.pages.terms import terms

urlpatterns = [
    path("", index, name="shop"),
    path("identity/", identity, name="shop_identity"),
    path("prices/", prices, name="shop_prices"),
    path("stacks/", stacks, name="shop_stacks"),
    path("kitchen/", kitchen, name="shop_kitchen"),
    path("hours/", hours.hours, name="shop_hours"),
    path("hours/close/", hours.close, name="shop_close"),
    path("hours/<int:pk>/open/", hours.open_again, name="shop_open_again"),
    path("terms/", terms, name="shop_terms"),
    path("agreement/", agreement, name="shop_agreement"),
    path("inquiries/", inquiries, name="shop_inquiries"),
    path("people/", people.people, name="shop_people"),
    path("people/add/", people.add_person, name="shop_person_add"),
    path("people/<int:pk>/", people.person, name="shop_person"),
    path("people/<int:pk>/let-go/", people.let_person_go, name="shop_let_go"),
    path("people/<int:pk>/take-back/", people.take_person_back, name="shop_take_back"),
    *(address for noun in NOUNS for address in addresses(noun)),
]
