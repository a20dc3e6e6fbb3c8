"""How does a message leave the shop? By SMTP as set, else into a folder where it can be read and printed."""

import contextlib
import os
import secrets
import smtplib
import ssl
from collections.abc import Callable, Iterator
from email import message_from_bytes, policy
from email.headerregistry import Address
from email.message import EmailMessage
from pathlib import Path

from django.conf import settings

from consult import store
from consult.actions.links import uncovered
from consult.models import Message
from consult.posting.words import one_line
from shop.mail_server import MailServer
from shop.models import current_shop
from shop.storage import sync_folder


class NotNow(Exception):
    """It did not go out, but may go later; the message says why in words."""


class Refused(Exception):
    """It will never go out as it is; the message says why in words."""


def letter(message: Message) -> EmailMessage:
    """The message as RFC 5322 has it: plain text and HTML with their links whole, and what is attached."""
    shop = current_shop()
    sender = settings.POST_FROM or shop.email
    if not sender:
        raise NotNow(
            "The shop has no e-mail address to send from. Set it under Name, units, payment."
        )
    made = EmailMessage(policy=policy.SMTP)
    made["From"] = Address(one_line(shop.name), addr_spec=in_ascii(sender))
    made["To"] = Address(addr_spec=in_ascii(message.to))
    if shop.email and shop.email != sender:
        made["Reply-To"] = Address(one_line(shop.name), addr_spec=in_ascii(shop.email))
    made["Subject"] = message.subject
    made["Date"] = message.made_at
    made["Message-ID"] = message.message_id
    made["Auto-Submitted"] = "auto-generated"  # RFC 3834: nobody's machine need answer it
    # Quoted-printable passes servers that take seven bits only.
    made.set_content(uncovered(message.text), cte="quoted-printable")
    if message.html:
        made.add_alternative(uncovered(message.html), subtype="html", cte="quoted-printable")
    for each in message.attached:
        try:
            data = store.fetch(each["sha256"])
        except store.LostFile:
            raise Refused(f"A paper that belongs to it is missing: {each['name']}") from None
        main, _, sub = each["type"].partition("/")
        made.add_attachment(data, maintype=main, subtype=sub, filename=each["name"])
    return made


def in_ascii(address: str) -> str:
    """The address with its domain as the name system has it (RFC 5891)."""
    name, _, domain = address.rpartition("@")
    return f"{name}@{domain.encode('idna').decode('ascii')}"


def carrier() -> tuple[str, Callable[[Message], None]]:
    """By what messages go out now: "smtp" or "folder", and the function that does it."""
    server = settings.MAIL_SERVER
    if server is None:
        return "folder", into_folder
    return "smtp", lambda message: by_smtp(message, server)


# --- the folder ---


def file_of(message: Message) -> Path:
    """Where it lies: a name of its own, so that writing it twice leaves one; nobody's address is in it."""
    return settings.POST_FOLDER / f"{message.made_at:%Y-%m-%d}-{message.pk:06d}-{message.kind}.eml"


def into_folder(message: Message) -> None:
    """Written aside, synced, renamed: a name either holds the whole message or is not there."""
    target, data = file_of(message), letter(message).as_bytes()
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    aside = target.with_name(f".{target.name}.{secrets.token_hex(6)}")
    try:
        handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(target)
    except OSError as error:
        raise NotNow(f"The folder for messages cannot be written to: {error.strerror}.") from error
    finally:
        aside.unlink(missing_ok=True)
    sync_folder(target.parent)


def from_folder(message: Message) -> tuple[str, str] | None:
    """Text and HTML as they lie in the folder, links and all; None where the file is gone."""
    try:
        kept = message_from_bytes(file_of(message).read_bytes(), policy=policy.SMTP)
    except OSError:
        return None
    text, html = kept.get_body(("plain",)), kept.get_body(("html",))
    return (
        text.get_content().replace("\r\n", "\n") if text else "",
        html.get_content().replace("\r\n", "\n") if html else "",
    )


# --- SMTP ---


def by_smtp(message: Message, server: MailServer) -> None:
    """Hand it to the mail server, and return once the server has taken it upon itself."""
    made = letter(message)
    with _troubles_in_words(), _line_to(server) as line:
        if server.user:
            line.login(server.user, server.password)
        line.send_message(made)


@contextlib.contextmanager
def _line_to(server: MailServer) -> Iterator[smtplib.SMTP]:
    if server.security == "tls":
        line: smtplib.SMTP = smtplib.SMTP_SSL(
            server.host, server.port, timeout=server.timeout, context=ssl.create_default_context()
        )
    else:
        line = smtplib.SMTP(server.host, server.port, timeout=server.timeout)
    try:
        if server.security == "starttls":
            line.starttls(context=ssl.create_default_context())
        yield line
        with contextlib.suppress(smtplib.SMTPException, OSError):
            line.quit()  # the message is taken by now, so a bad farewell is no trouble
    finally:
        line.close()


def _said(code: int, words: object) -> str:
    """What the server said, fit for a line on a page."""
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else str(words)
    return f"{code} {one_line(text)}"[:200]


@contextlib.contextmanager
def _troubles_in_words() -> Iterator[None]:
    """SMTP's replies beginning with 4 may pass, with 5 they stay (RFC 5321, 4.2.1).

    A 5 before there is any talk of this message (log-in, greeting, sender) is about how e-mail is set, which the
    owner can mend: the message waits for it.
    """
    try:
        yield
    except smtplib.SMTPRecipientsRefused as error:
        code, words = next(iter(error.recipients.values()))
        if code >= 500:
            raise Refused(
                f"The mail server does not take this address: {_said(code, words)}"
            ) from None
        raise NotNow(f"The mail server asks to try later: {_said(code, words)}") from None
    except smtplib.SMTPAuthenticationError as error:
        said = _said(error.smtp_code, error.smtp_error)
        raise NotNow(
            f"The mail server does not take the shop's user name or password: {said}"
        ) from None
    except smtplib.SMTPDataError as error:
        said = _said(error.smtp_code, error.smtp_error)
        if error.smtp_code >= 500:
            raise Refused(f"The mail server refused the message: {said}") from None
        raise NotNow(f"The mail server asks to try later: {said}") from None
    except smtplib.SMTPResponseException as error:
        said = _said(error.smtp_code, error.smtp_error)
        raise NotNow(f"The mail server does not take messages from us: {said}") from None
    except smtplib.SMTPServerDisconnected as error:
        if isinstance(error.__context__, TimeoutError):
            raise NotNow("The mail server did not answer in time.") from None
        raise NotNow("The connection to the mail server broke off.") from None
    except smtplib.SMTPNotSupportedError:
        raise NotNow(
            "The mail server cannot secure the line or take a log-in as it is set."
        ) from None
    except smtplib.SMTPException:
        raise NotNow("The mail server takes none of the ways to log in that we know.") from None
    except ssl.SSLError:
        raise NotNow("The mail server's certificate or its secured line is not in order.") from None
    except TimeoutError:
        raise NotNow("The mail server did not answer in time.") from None
    except OSError:
        raise NotNow("The mail server cannot be reached.") from None
