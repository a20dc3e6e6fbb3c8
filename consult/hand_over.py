"""The tablet in the client's hands: one sheet to read and sign, and nothing else of the shop.

The server keeps the state, so neither the back button nor a typed address leads out of it; only the password of
whoever works here does.
"""

from collections.abc import Callable

from axes.decorators import axes_dispatch
from django.contrib.auth import authenticate
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from consult.models import Consultation
from shop.models import Person

_KEY = "handed_over"

# What a client holding the tablet may open, of that one consultation.
_OPEN_TO_CLIENT = (
    "consult:signing",
    "consult:design_sheet",
    "consult:contract",
    "consult:picture",
    "consult:take_back",
)
_OPEN_TO_ALL = ("manifest",)


def is_handed_over(request: HttpRequest) -> bool:
    return _KEY in request.session


class HandedOver:
    """Middleware: while the tablet is handed over, every other address leads back to the sheet.

    No page is kept by the browser either, before as after.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        answer = self.get_response(request)
        if not answer.has_header("Cache-Control"):
            # Else the back button would show the shop's pages to the client from the browser's memory.
            answer["Cache-Control"] = "private, no-store"
        return answer

    def process_view(
        self, request: HttpRequest, view: object, args: object, kwargs: dict[str, object]
    ) -> HttpResponse | None:
        pk = request.session.get(_KEY)
        if pk is None or request.resolver_match is None:
            return None
        name = request.resolver_match.view_name
        if name in _OPEN_TO_ALL or (name in _OPEN_TO_CLIENT and kwargs.get("pk") == pk):
            return None
        url = reverse("consult:signing", args=[pk])
        if request.headers.get("HX-Request"):
            answer = HttpResponse(status=204)
            answer["HX-Redirect"] = url
            return answer
        return HttpResponseRedirect(url)


@require_POST
def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Hand the tablet to the client, with the sheet to sign."""
    consultation = get_object_or_404(Consultation, pk=pk)
    request.session[_KEY] = consultation.pk
    return redirect("consult:signing", pk=pk)


@axes_dispatch
@require_http_methods(["GET", "POST"])
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Back to the shop: asks for the password of whoever is logged in, and slows down guessing."""
    wrong = ""
    if request.method == "POST":
        person = request.user
        assert isinstance(person, Person)  # the page is closed to strangers
        found = authenticate(
            request, username=person.email, password=request.POST.get("password", "")
        )
        if found is not None and found.pk == person.pk:
            request.session.pop(_KEY, None)
            return redirect("consult:signing", pk=pk)
        wrong = "That is not the password of the person logged in on this tablet."
    return render(
        request, "consult/take_back.html", {"pk": pk, "wrong": wrong}, status=422 if wrong else 200
    )
