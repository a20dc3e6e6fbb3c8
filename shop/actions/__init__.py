"""Every change of the shop's own data, a verb each. Nothing else saves."""

from shop.actions.catalogue import (
    add_to_catalogue,
    change_in_catalogue,
    move_to_top,
    put_back_on_list,
    set_recipe,
    take_off_list,
)
from shop.actions.editions import edition_of_today
from shop.actions.people import change_person, give_new_password, let_go, take_back, take_on
from shop.actions.refusal import Refused
from shop.actions.setup import (
    change_shop,
    close_days,
    issue_terms,
    open_day,
    set_cancelling,
    set_rush_fees,
    set_tier_heights,
)
from shop.actions.taking_in import take_in_book

__all__ = [
    "Refused",
    "add_to_catalogue",
    "change_in_catalogue",
    "change_person",
    "change_shop",
    "close_days",
    "edition_of_today",
    "give_new_password",
    "issue_terms",
    "let_go",
    "move_to_top",
    "open_day",
    "put_back_on_list",
    "set_cancelling",
    "set_recipe",
    "set_rush_fees",
    "set_tier_heights",
    "take_back",
    "take_in_book",
    "take_off_list",
    "take_on",
]
