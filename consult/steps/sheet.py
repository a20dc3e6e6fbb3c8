"""Is this the cake? Everything on one page, each figure with how it came about, and then the sheet for signing."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from consult.actions import sheets
from consult.actions.keeping import Seen
from consult.core.design import Problem
from consult.core.event import notice_problems
from consult.core.open_answers import still_missing
from consult.core.sheet_making import sheet_of
from consult.core.timeline import booking
from consult.documents.unprintable import unprintable
from consult.finding import AtHand, consultation_at_hand
from consult.flow import step_named
from consult.page import go_to, keep_answer, show


def in_the_way(at: AtHand) -> tuple[Problem, ...]:
    """What must be put right before a sheet can be made: open answers, then what does not stand or feed."""
    client = at.brief.client
    found = still_missing(at.brief, at.book) + at.reckoning.in_the_way
    if not client.email and not client.phone:
        found += (
            Problem("event", "A phone number or an e-mail address of the client is missing."),
        )
    return found + notice_problems(at.brief.event, at.book, at.today)


def shown(at: AtHand) -> dict[str, object]:
    problems = in_the_way(at)
    sheet = None
    if not problems:
        sheet = sheets.with_changes(
            at.row,
            sheet_of(
                at.brief,
                at.book,
                at.reckoning,
                number=at.row.number,
                revision=sheets.next_revision(at.row),
                quoted_on=at.today,
            ),
        )
    return {
        "sheet": sheet,
        "is_over_full": sheet is not None and at.reckoning.date.holds is False,
        "problems": [(problem, _step_for(at, problem)) for problem in problems],
        "current": sheets.current_sheet(at.row),
        "not_printed": unprintable(sheet) if sheet is not None else (),
    }


def _step_for(at: AtHand, problem: Problem) -> tuple[str, str]:
    """Where it can be put right: the step's title and address."""
    name = problem.where.split(".")[0].split("[")[0]
    try:
        step = step_named(name)
    except KeyError:
        step = step_named("tiers")
    return step.title, reverse(f"consult:{step.name}", args=[at.row.pk])


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    context = shown(at)
    sheet = context["sheet"]
    if request.method != "POST" or sheet is None:
        return show(request, at, "sheet", status=200 if request.method == "GET" else 422, **context)
    despite = request.POST.get("despite", "").strip()[:300]
    if context["is_over_full"] and not despite:
        says = "Say why it is taken all the same; it goes on the record."
        return show(request, at, "sheet", status=422, despite_error=says, **context)
    if sheets.current_sheet(at.row):  # nothing changed since the last sheet was made
        return go_to(request, reverse("consult:signing", args=[pk]))
    bench = booking(at.brief, at.book, at.reckoning.work, at.today, at.booked)

    def act(seen: Seen) -> object:
        return sheets.make_sheet(
            at.row, by=request.user, seen=seen, sheet=sheet, bench=bench, despite=despite
        )

    return keep_answer(request, at, "sheet", act, afresh=shown)
