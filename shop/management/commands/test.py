"""Does everything still hold? Sees to what the tests need, then runs them all."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shop import env

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
NEEDED = {  # Debian's package: programs of which one must be there
    "chromium": BROWSERS,
    "poppler-utils": ("pdftotext",),
}


def missing():
    return [package for package, programs in NEEDED.items() if not any(map(shutil.which, programs))]


def install(packages):
    """With Debian's own tool, where we may use it."""
    env.hand_on("DEBIAN_FRONTEND", "noninteractive")
    for command in (
        ["apt-get", "update", "-q"],
        ["apt-get", "install", "-y", "-q", "--no-install-recommends", *packages],
    ):
        if subprocess.run(command, check=False).returncode:
            raise CommandError(
                f"Could not install {' and '.join(packages)}; the lines above say why."
            )


class Command(BaseCommand):
    help = "Run the tests, in a browser too. What follows is passed on to pytest: test -k tiers"
    requires_system_checks = ()

    def run_from_argv(self, argv):
        """Everything after `test` belongs to pytest, so none of Django's own options are read here."""
        try:
            sys.exit(self.run(argv[2:]))
        except CommandError as error:
            sys.exit(f"{error}")

    def handle(self, *args, **options):
        if self.run(list(args)):
            raise CommandError("Some tests failed.")

    def run(self, arguments):
        packages = missing()
        if packages and shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
            self.stdout.write(f"Installing {' and '.join(packages)} for the tests ...")
            install(packages)
        if packages := missing():
            raise CommandError(
                f"The tests need {' and '.join(packages)}. On Debian or Ubuntu:\n"
                f"  sudo apt-get install {' '.join(packages)}\n"
                "Elsewhere: a Chromium or Chrome on the path, and poppler's pdftotext."
            )
        many = () if any(a.startswith("-n") or a == "--pdb" for a in arguments) else ("-n", "auto")
        root = Path(settings.ROOT)
        return subprocess.run(
            [sys.executable, "-m", "pytest", *many, *arguments], cwd=root, check=False
        ).returncode
