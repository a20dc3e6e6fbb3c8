"""What does a browser do, and how long does it wait? Requests with their times, and the fields of a form."""

import gzip
import socket
from dataclasses import dataclass, field
from html.parser import HTMLParser
from http.client import HTTPConnection
from time import monotonic, perf_counter, sleep
from urllib.parse import urlencode


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back: `sent` is what went over the line, `body` the same unpacked."""

    status: int
    sent: bytes
    body: bytes
    ms: float


class Browser:
    """One open connection to a server on this machine, with its cookies."""

    def __init__(self, port: int, cookies: dict[str, str]) -> None:
        self._line = HTTPConnection("127.0.0.1", port, timeout=60)
        self._cookies = dict(cookies)

    def asks(
        self, path: str, *, htmx: bool = False, answers: list[tuple[str, str]] | None = None
    ) -> Answer:
        """A page, or an answer to its form; the clock runs until the last byte is here."""
        headers = {
            "Accept-Encoding": "gzip",
            "Cookie": "; ".join(f"{name}={value}" for name, value in self._cookies.items()),
        }
        if htmx:
            headers["HX-Request"] = "true"
        body = None
        if answers is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
            body = urlencode(answers)
        started = perf_counter()
        self._line.request("GET" if body is None else "POST", path, body, headers)
        answer = self._line.getresponse()
        sent = answer.read()
        took = (perf_counter() - started) * 1000
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie":
                key, _, rest = value.partition("=")
                self._cookies[key] = rest.partition(";")[0]
        packed = answer.getheader("Content-Encoding") == "gzip"
        return Answer(answer.status, sent, gzip.decompress(sent) if packed else sent, took)


@dataclass
class Form(HTMLParser):
    """The step's form as a browser would send it, and the choices of each field."""

    fields: list[tuple[str, str]] = field(default_factory=list)
    choices: dict[str, list[str]] = field(default_factory=dict)
    linked: list[str] = field(default_factory=list)  # style sheets and scripts of the page
    _inside: bool = False
    _select: str = ""
    _text: str = ""

    def __post_init__(self) -> None:
        super().__init__()

    @classmethod
    def of(cls, answer: Answer) -> "Form":
        form = cls()
        form.feed(answer.body.decode())
        return form

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        name, value = has.get("name", ""), has.get("value", "")
        if tag == "script" and "src" in has:
            self.linked.append(has["src"])
        if tag == "link" and has.get("rel") == "stylesheet":
            self.linked.append(has["href"])
        if tag == "form":
            self._inside = has.get("id") == "step-form"
        if not self._inside:
            return
        if tag == "input" and name and has.get("type") not in ("submit", "file", "button"):
            ticked = has.get("type") not in ("radio", "checkbox") or "checked" in has
            self.choices.setdefault(name, []).append(value)
            if ticked:
                self.fields.append((name, value))
        elif tag == "select":
            self._select = name
        elif tag == "option":
            self.choices.setdefault(self._select, []).append(value)
            if "selected" in has:
                self.fields.append((self._select, value))
        elif tag == "textarea":
            self._text = name

    def handle_data(self, data: str) -> None:
        if self._inside and self._text:
            self.fields.append((self._text, data.strip()))
            self._text = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = False

    def with_answers(self, **changes: object) -> list[tuple[str, str]]:
        """The form's fields with these answers in place of what is there."""
        kept = [(name, value) for name, value in self.fields if name not in changes]
        return kept + [(name, str(value)) for name, value in changes.items()]


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        port: int = trial.getsockname()[1]
        return port


def seconds_until_it_answers(port: int, path: str, patience: float = 120) -> float:
    """How long a server started this moment takes to give its first answer. TimeoutError if it does not."""
    started = monotonic()
    while monotonic() - started < patience:
        line = HTTPConnection("127.0.0.1", port, timeout=30)
        try:
            line.request("GET", path)
            line.getresponse().read()
            return monotonic() - started
        except OSError:
            sleep(0.02)
        finally:
            line.close()
    raise TimeoutError(f"Nothing answered on port {port} for {patience:.0f} seconds.")
