"""How does the shop open in the morning? Data folder, database, static files, then a real server."""

import contextlib
import hashlib
import os
import socket
import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import version
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.contrib.auth.hashers import check_password
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shop import data_folder, env
from shop.models import Person, Shop
from shop.models.sealed import put_up_guards
from shop.sample import SAMPLE_PEOPLE

# Left out of what is collected: faces of the font packages that no page uses, other versions of htmx.
NOT_SERVED = (
    "*.otf", "*Black*", "*Light*", "*Bold.ttf", "*BoldIt*", "*SemiboldIt*",
    "SourceSerifPro-Regular*", "SourceSerifPro-It*", "htmx-4*", "htmax-4*", "ext",
)  # fmt: skip
EVERYWHERE = ("0.0.0.0", "::")


def port_is_free(host, port):
    """None, or why the server could not listen there."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as trial:
        if os.name != "nt":  # as the server does: a port just left is free again
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, port))
        except OSError as error:
            return error
    return None


def own_names(host):
    """Names under which this machine may be asked for, when it listens on `host`."""
    names = [f"[{host}]" if ":" in host else host, "127.0.0.1", "localhost", "[::1]"]
    if host in EVERYWHERE:
        names.append(socket.gethostname())
        with contextlib.suppress(OSError):
            names += socket.gethostbyname_ex(socket.gethostname())[2]
        with (
            contextlib.suppress(OSError),
            socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe,
        ):
            probe.connect(("192.0.2.1", 9))  # documentation address of RFC 5737; nothing is sent
            names.append(probe.getsockname()[0])
    return list(dict.fromkeys(names))


def own_address(host, port):
    """The address to put into messages: where people on other machines come in, if the shop lets them."""
    name = own_names(host)[-1] if host in EVERYWHERE else own_names(host)[0]
    return f"{'https' if settings.HTTPS else 'http'}://{name}:{port}"


@contextlib.contextmanager
def posting_beside():
    """A process of its own that sends what waits in the outbox; it ends with this one, however this one ends."""
    post = subprocess.Popen(
        [sys.executable, str(settings.ROOT / "manage.py"), "post", "--watch", "--beside"],
        stdin=subprocess.PIPE,
    )
    try:
        yield
    finally:
        post.stdin.close()
        try:
            post.wait(timeout=30)
        except subprocess.TimeoutExpired:  # in the middle of sending; its lease runs out by itself
            post.kill()
            post.wait()


def static_fingerprint():
    """Changes when any file that pages load changes, or whitenoise does."""
    found = hashlib.sha256(version("whitenoise").encode())
    found.update(repr(NOT_SERVED).encode())
    folders = [
        entry[1] if isinstance(entry, tuple) else entry for entry in settings.STATICFILES_DIRS
    ]
    folders += [Path(app.path) / "static" for app in apps.get_app_configs()]
    for folder in map(Path, folders):
        for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
            if path.is_file():
                kept = path.stat()
                found.update(
                    f"{path.relative_to(folder)} {kept.st_size} {kept.st_mtime_ns}\n".encode()
                )
    return found.hexdigest()


def set_up_database(say):
    """Bring the database to what the code asks for, made where there is none; `say` is told if so."""
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        say("Setting up the database ...")
        call_command("migrate", interactive=False, verbosity=0)
    put_up_guards()  # a plug pulled between a migration and its end leaves them down
    if connection.vendor == "sqlite":
        for path in Path(settings.DATA).glob("tierwright.sqlite3*"):
            path.chmod(0o600)


def sample_log_ins():
    """Whoever of the sample shop works here, and still logs in with the password everyone can read."""
    passwords = {person.email: person.password for person in SAMPLE_PEOPLE}
    people = list(Person.objects.filter(email__in=passwords, is_active=True))
    with ThreadPoolExecutor() as hands:  # each check takes a third of a second, by design
        known = hands.map(
            lambda person: check_password(passwords[person.email], person.password), people
        )
        return [(p, passwords[p.email]) for p, is_it in zip(people, known, strict=True) if is_it]


class Command(BaseCommand):
    help = "Open the shop: everything that is needed is made the first time."
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1)")
        parser.add_argument("--port", type=int, default=8000, help="port to listen on (8000)")
        parser.add_argument("--data", help="folder for database, photos and keys (./data)")
        parser.add_argument(
            "--euro", action="store_true", help="fill an empty shop in euros and centimetres"
        )

    def handle(self, *, host, port, euro, **options):
        if not 1 <= port <= 65535:
            raise CommandError(f"--port must be from 1 to 65535, not {port}.")
        if wrong := port_is_free(host, port):
            raise CommandError(self.port_words(host, port, wrong))
        data_folder.made(settings.DATA)
        data_folder.made(settings.MEDIA_ROOT)
        set_up_database(self.stdout.write)
        self.seed(euro)
        self.collect()
        self.serve(host, port)

    def port_words(self, host, port, error):
        if isinstance(error, PermissionError):
            return (
                f"Port {port} may not be used by this account. Choose one above 1023: --port 8000"
            )
        if isinstance(error, socket.gaierror) or "assign" in str(error):
            return f"{host} is not an address of this machine. Choose another: --host 127.0.0.1"
        return (
            f"Port {port} on {host} is taken: something else listens there, perhaps this shop, "
            f"already open.\nClose that, or choose another: --port {port + 1 if port < 65535 else 8000}"
        )

    def seed(self, euro):
        """The sample shop, once: nobody works here yet, so nothing can be in the way."""
        if not Person.objects.exists():
            self.stdout.write("Filling in the sample shop ...")
            call_command("sample_shop", euro=euro, verbosity=0)
        elif euro and not Shop.objects.filter(currency="EUR").exists():
            self.stdout.write("This shop was filled in before, so --euro changes nothing.")

    def collect(self):
        stamp = Path(settings.STATIC_ROOT) / "collected.sha256"
        wanted = static_fingerprint()
        if stamp.exists() and stamp.read_text(encoding="ascii") == wanted:
            return
        self.stdout.write("Collecting the static files ...")
        stamp.unlink(missing_ok=True)
        call_command(
            "collectstatic", interactive=False, verbosity=0, clear=True,
            ignore_patterns=list(NOT_SERVED),
        )  # fmt: skip
        stamp.write_text(wanted, encoding="ascii")

    def serve(self, host, port):
        # Only this command needs the server, and it is slow to import.
        from granian import Granian
        from granian.constants import Interfaces

        if not env.text("SHOP_HOSTS"):
            env.hand_on("SHOP_HOSTS", ",".join(own_names(host)))
        env.hand_on("SHOP_ADDRESS", own_address(host, port), only_if_missing=True)
        # A server process may begin as a copy of this one, whose settings are read already.
        settings.ADDRESS = env.address("SHOP_ADDRESS", settings.ADDRESS)
        self.greet(host, port)
        connection.close()
        with posting_beside():
            Granian(
                "shop.wsgi:application", address=host, port=port, interface=Interfaces.WSGI,
                workers=1, blocking_threads=8, log_access=False, log_level="error",
            ).serve()  # fmt: skip

    def greet(self, host, port):
        names = own_names(host)[1:] if host in EVERYWHERE else own_names(host)[:1]
        self.stdout.write(self.style.SUCCESS("\nThe shop is open:"))
        for name in names:
            self.stdout.write(f"  http://{name}:{port}/")
        for person, password in sample_log_ins():
            self.stdout.write(
                f"  log in as {person.get_role_display().lower()}: {person.email}  password: {password}"
            )
        self.stdout.write(f"  data: {settings.DATA}  (SQLite {sqlite3.sqlite_version})")
        self.stdout.write("Ctrl-C closes it.\n")
        sys.stdout.flush()
