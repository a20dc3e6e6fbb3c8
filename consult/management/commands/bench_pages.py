"""How long does each page take to answer, on the real server, beside a page that does nothing else?"""

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from secrets import token_urlsafe

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext, override_settings

from consult.flow import NAMES
from consult.management.bench_browser import (
    Answer,
    Browser,
    Form,
    free_port,
    seconds_until_it_answers,
)
from consult.management.bench_seed import Measured, fill_in
from consult.models import Consultation
from shop import env
from shop.models import Person

LIMIT_MS = 150  # what is promised: the 95th percentile on 2 cores
FIRST_LOAD_KB = 180  # page, style and script of a first visit, without fonts
BACKEND = "django.contrib.auth.backends.ModelBackend"
# What a person changes on each step, time after time; the rest of the form goes along as it is.
CHANGES: dict[str, Callable[[Form, int], dict[str, object]]] = {
    "event": lambda form, turn: {"notes": f"Call before noon, {turn}"},
    "servings": lambda form, turn: {"guests": 118 + turn % 5},
    "tiers": lambda form, turn: {"budget": 1500 + turn},
    "flavours": lambda form, turn: {"flavour_0": form.choices["flavour_0"][turn % 3]},
    "finishes": lambda form, turn: {"finish_1": form.choices["finish_1"][turn % 3]},
    "decorations": lambda form, turn: {"count_1": 8 + turn % 5},
    "photos": lambda form, turn: {_captions(form)[0]: f"as on this one, {turn}"},
}


def _captions(form: Form) -> list[str]:
    return [name for name, _ in form.fields if name.startswith("caption_")]


def percentile(values: Sequence[float], share: float) -> float:
    """The least value that so large a share of the values does not pass (nearest rank)."""
    return sorted(values)[max(0, -(-len(values) * round(share * 100) // 100) - 1)]


class Command(BaseCommand):
    help = (
        "Measure every step's page on the real server, in a throwaway shop with many consultations."
        f" Fails where a 95th percentile passes {LIMIT_MS} ms."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("--times", type=int, default=50, help="how often each is asked (50)")
        parser.add_argument("--consultations", type=int, default=200, help="rows on the desk (200)")
        parser.add_argument("--inside", action="store_true", help="used by the command itself")

    def handle(self, *, times, consultations, inside, **options) -> None:
        if inside:
            self.measure(times, consultations)
            return
        # The settings are read once in a process, so the throwaway shop is measured in another one.
        with tempfile.TemporaryDirectory(prefix="tierwright-bench-") as folder:
            env.hand_on("SHOP_DATA", f"{folder}/data")
            env.hand_on("SHOP_STATIC", f"{folder}/static")
            command = [
                sys.executable,
                "manage.py",
                "bench_pages",
                "--inside",
                "--times",
                str(times),
            ]
            command += ["--consultations", str(consultations)]
            if subprocess.run(command, cwd=settings.ROOT, check=False).returncode:
                raise CommandError("Not as quick as promised; the lines above say where.")

    def measure(self, times: int, consultations: int) -> None:
        call_command("migrate", verbosity=0)
        if Person.objects.exists() or Consultation.objects.exists():
            raise CommandError("This shop is in use. Run it without --inside.")
        call_command("sample_shop", verbosity=0)
        person = Person.objects.get(role="staff")
        measured = fill_in(person, count=consultations)
        self.stdout.write(f"{consultations} consultations; load {os.getloadavg()[0]:.1f}")
        cookies = cookies_of(person)
        connection.close()
        with shop_open(self.stdout.write) as port, floor_open() as floor_port:
            pages = addresses(measured)
            rows = Rows(Browser(port, cookies), Browser(floor_port, cookies), measured, pages)
            rows.ask_all(times)
            self.stdout.write(f"load {os.getloadavg()[0]:.1f} at the end")
            self.table(rows, person)
            self.payload(rows)
        slow = [name for name, took in rows.took.items() if percentile(took, 0.95) > LIMIT_MS]
        if slow:
            raise CommandError(f"Over {LIMIT_MS} ms at the 95th percentile: {', '.join(slow)}")

    def table(self, rows: "Rows", person: Person) -> None:
        floor = statistics.median(rows.floor)
        self.stdout.write(
            f"a page that does nothing else: p50 {floor:.1f} ms, p95 {percentile(rows.floor, 0.95):.1f} ms"
        )
        self.stdout.write(
            f"{'':24}{'p50 ms':>8}{'p95 ms':>8}{'ratio':>7}{'CPU ms':>8}{'queries':>9}{'KB':>7}{'KB gz':>7}"
        )
        inside = in_this_process(rows.pages, person)
        for name, took in rows.took.items():
            answer, (cpu, queries) = rows.last[name], inside.get(name, ("", ""))
            middle = statistics.median(took)
            self.stdout.write(
                f"{name:24}{middle:8.1f}{percentile(took, 0.95):8.1f}{middle / floor:7.1f}{cpu:>8}"
                f"{queries:>9}{len(answer.body) / 1000:7.0f}{len(answer.sent) / 1000:7.1f}"
            )

    def payload(self, rows: "Rows") -> None:
        """Bytes of a first visit to the heaviest step, as they go over the line."""
        page = rows.last["tiers"]
        sent = {path: rows.browser.asks(path) for path in Form.of(page).linked}
        kinds = {
            kind: sum(len(answer.sent) for path, answer in sent.items() if path.endswith(kind))
            for kind in (".css", ".js")
        }
        styles = "".join(a.body.decode() for path, a in sent.items() if path.endswith(".css"))
        fonts = sorted(set(re.findall(r'url\("?([^")]+\.(?:woff2?|ttf))"?\)', styles)))
        base = next(path for path in sent if path.endswith(".css")).rpartition("/")[0]
        of_fonts = sum(
            len(rows.browser.asks(os.path.normpath(f"{base}/{font}")).sent) for font in fonts
        )
        first = len(page.sent) + sum(kinds.values())
        self.stdout.write(
            f"first visit to the tiers step: page {len(page.sent) / 1000:.1f} KB, styles"
            f" {kinds['.css'] / 1000:.1f} KB, scripts {kinds['.js'] / 1000:.1f} KB packed;"
            f" {len(fonts)} fonts {of_fonts / 1000:.0f} KB, if all are used"
        )
        if first > FIRST_LOAD_KB * 1000:
            self.stdout.write(f"  that is over {FIRST_LOAD_KB} KB without the fonts")


class Rows:
    """What is asked, in turn, so that a busy moment of the machine falls on all alike."""

    def __init__(
        self, browser: Browser, floor: Browser, measured: Measured, pages: dict[str, str]
    ) -> None:
        self.browser, self._floor, self._measured, self.pages = browser, floor, measured, pages
        self.took: dict[str, list[float]] = {}
        self.last: dict[str, Answer] = {}
        self.floor: list[float] = []

    def ask_all(self, times: int) -> None:
        for turn in range(-2, times):  # two turns to warm up, as a shop's first pages of the day
            for name, path in self.pages.items():
                shown = self.browser.asks(path)
                self.keep(name, shown, turn)
                if name != "desk":
                    self.keep(f"{name}, by htmx", self.browser.asks(path, htmx=True), turn)
                if name in CHANGES:
                    answers = self.changed(name, Form.of(shown), turn + 2)
                    saved = self.browser.asks(path, htmx=True, answers=answers)
                    self.keep(f"{name}, saved", saved, turn)
            self.floor.append(self._floor.asks(f"/{self._measured.being_made.pk}/").ms)

    def keep(self, name: str, answer: Answer, turn: int) -> None:
        if answer.status != 200:
            words = re.sub(r"<[^>]+>|\s+", " ", answer.body.decode())[:600]
            raise CommandError(f"{name}: status {answer.status} {words}")
        if turn >= 0:
            self.took.setdefault(name, []).append(answer.ms)
        self.last[name] = answer

    def changed(self, name: str, form: Form, turn: int) -> list[tuple[str, str]]:
        changes = CHANGES[name](form, turn)
        return form.with_answers(**changes, once=token_urlsafe(18))


def addresses(measured: Measured) -> dict[str, str]:
    """Every page: the steps of the open consultation, and the last two of those that are so far."""
    row_of = {"signing": measured.to_sign, "deposit": measured.signed}
    steps = {
        name: f"/consultations/{row_of.get(name, measured.being_made).pk}/{name}/" for name in NAMES
    }
    return {"desk": "/", **steps}


def cookies_of(person: Person) -> dict[str, str]:
    browser = Client()
    browser.force_login(person, backend=BACKEND)
    return {settings.SESSION_COOKIE_NAME: browser.cookies[settings.SESSION_COOKIE_NAME].value}


def in_this_process(pages: dict[str, str], person: Person) -> dict[str, tuple[str, str]]:
    """Processor time of each page without a server or other programs, and its queries."""
    found = {}
    with override_settings(ALLOWED_HOSTS=["testserver"]):
        browser = Client()
        browser.force_login(person, backend=BACKEND)
        for name, path in pages.items():
            browser.get(path)
            spent = []
            for _ in range(9):
                started = time.process_time()
                browser.get(path)
                spent.append((time.process_time() - started) * 1000)
            with CaptureQueriesContext(connection) as queries:
                browser.get(path)
            found[name] = (f"{statistics.median(spent):.1f}", str(len(queries)))
    return found


@contextmanager
def running(command: list[str]) -> Iterator[None]:
    """A program, ended when the block is left."""
    program = subprocess.Popen(command, cwd=settings.ROOT, stdout=subprocess.DEVNULL)
    try:
        yield
    finally:
        program.terminate()
        program.wait(timeout=30)


@contextmanager
def shop_open(say: Callable[[str], object]) -> Iterator[int]:
    """The shop as `start` opens it, twice: the second start finds everything made."""
    for which in ("first", "second"):
        port = free_port()
        command = [sys.executable, "manage.py", "start", "--port", str(port)]
        with running([*command, "--data", str(Path(settings.DATA))]):
            took = seconds_until_it_answers(port, "/log-in/")
            say(f"{which} start: {took:.1f} s until the log-in page is there")
            if which == "second":
                yield port


@contextmanager
def floor_open() -> Iterator[int]:
    port = free_port()
    command = [sys.executable, "-m", "granian", "--interface", "wsgi", "--port", str(port)]
    command += ["--workers", "1", "--blocking-threads", "8", "--no-log"]
    with running([*command, "consult.management.bench_floor:application"]):
        seconds_until_it_answers(port, "/1/")
        yield port
