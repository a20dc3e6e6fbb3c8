"""Is it written as the house writes? Everything that is checked apart from the tests."""

import subprocess
import sys
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand

PURE = ("shop/core", "consult/core", "consult/documents")


def tool(name, *arguments):
    return [sys.executable, "-m", name, *arguments]


CHECKS = (
    ("layout of the code", tool("ruff", "format", "--check", ".")),
    ("lint", tool("ruff", "check", ".")),
    ("types", tool("mypy", *PURE)),
    ("migrations", [sys.executable, "manage.py", "makemigrations", "--check", "--dry-run"]),
    ("system check", [sys.executable, "manage.py", "check", "--fail-level", "WARNING"]),
    ("templates", tool("djlint", "templates", "--lint", "--quiet")),
)


class Command(BaseCommand):
    help = (
        "Check layout, lint, types, migrations, settings and templates. The tests: manage.py test"
    )
    requires_system_checks = ()

    def handle(self, *args, **options):
        failed = []
        for name, command in CHECKS:
            self.stdout.write(f"--- {name}")
            self.stdout.flush()
            if subprocess.run(command, cwd=Path(settings.ROOT), check=False).returncode:
                failed.append(name)
        if failed:
            self.stdout.write(self.style.ERROR(f"Not right yet: {', '.join(failed)}."))
            sys.exit(1)
        self.stdout.write(self.style.SUCCESS("All checks hold."))
