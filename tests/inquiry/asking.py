"""How does somebody ask for a cake, in tests? What the form sends, and a stamp of some seconds ago."""

import re
import time
from unittest import mock

from consult.inquiry.stamp import new_stamp
from tests.consultations import a_saturday

URL = "/inquire/"


def answers(**changes):
    """A whole inquiry as its form sends it."""
    return {
        "occasion": "silver wedding",
        "guests": "70",
        "slice": "dessert",
        "event_on": a_saturday().isoformat(),
        "hand_over_how": "delivery",
        "place": "The old boathouse, Marsh End",
        "distance_km": "12",
        "wishes": "Apricot and honey.\nWild flowers down one side.",
        "avoid": ["hazelnut", "sesame"],
        "budget": "600",
        "client_name": "Ann Okafor",
        "client_email": "ann@example.org",
        "client_phone": "555-0199",
        "opened": stamped(60),
        "once": "key-1",
        **changes,
    }


def stamped(seconds_ago):
    """The stamp of a page opened so many seconds ago."""
    then = time.time() - seconds_ago
    with mock.patch("consult.inquiry.stamp.time.time", return_value=then):
        return new_stamp()


def send(browser, **changes):
    """The whole form with its button pressed."""
    return browser.post(URL, {**answers(**changes), "send": "yes"})


def errors_in(page):
    """The fields that have an error beside them."""
    return set(re.findall(r'id="id_(\w+)_error"', page.content.decode()))
