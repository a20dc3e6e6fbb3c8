"""A file in, papers out: work up a brief without a browser, with the same core and papers as the pages."""

import json
import os
import sys
import uuid
from datetime import date
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from consult.finding import bench_minutes_booked
from consult.working_up import OUR_PAPERS, RESULT, Refused, WorkedUp, brief_in, work_up
from shop.core.book import ShopBook, WrongBook, book_from_plain
from shop.core.measures import minutes_written
from shop.models import NoShopYet, current_book

WRONG_BRIEF = 2  # exit status


class Command(BaseCommand):
    help = (
        "Work up a brief (JSON) into result.json, a design sheet and a deposit request. A wrong brief "
        "is refused with every error by its path, exit status 2, and nothing is written."
    )
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("brief", type=Path, help="the brief, a JSON file")
        parser.add_argument("--out", type=Path, required=True, help="folder to write into")
        parser.add_argument("--stacks-only", action="store_true", help="only the tier question")
        parser.add_argument(
            "--shop", type=Path, help="the shop's exported data, in place of the database's"
        )
        parser.add_argument(
            "--today",
            type=date.fromisoformat,
            help="the day to quote on, YYYY-MM-DD: the same brief on the same day gives the same papers",
        )

    def handle(self, *args, **options):
        out = options["out"]
        if out.exists() and not out.is_dir():
            raise CommandError(f"{out} is a file, not a folder.")
        book = self._book(options["shop"])
        try:
            worked = work_up(
                brief_in(options["brief"]),
                book,
                options["today"] or timezone.localdate(),
                folder=options["brief"].resolve().parent,
                booked={} if options["shop"] else bench_minutes_booked(),
                stacks_only=options["stacks_only"],
            )
        except Refused as refused:
            self.stderr.write(str(refused), self.style.ERROR)
            sys.exit(WRONG_BRIEF)
        try:
            put_into(out, worked)
        except OSError as error:
            raise CommandError(f"{out} cannot be written: {error.strerror}.") from error
        self._say(worked, book, out)

    def _book(self, exported: Path | None) -> ShopBook:
        if exported is None:
            try:
                return current_book()
            except NoShopYet as error:
                raise CommandError(f"{error} Run start once, or give --shop.") from error
            except (
                DatabaseError
            ) as error:  # a folder in which nothing was ever set up has no tables
                raise CommandError(
                    "No shop is set up in this data folder. Run start once, or give --shop."
                ) from error
        try:
            return book_from_plain(json.loads(exported.read_text(encoding="utf-8")))
        except OSError as error:
            raise CommandError(f"{exported} cannot be read: {error.strerror}.") from error
        except WrongBook as error:
            raise CommandError(str(error), returncode=WRONG_BRIEF) from error
        except ValueError as error:
            raise CommandError(
                f"{exported} is not JSON: {error}", returncode=WRONG_BRIEF
            ) from error

    def _say(self, worked: WorkedUp, book: ShopBook, out: Path) -> None:
        """A short summary for whoever ran it."""
        result, reckoning = worked.result, worked.reckoning
        self.stdout.write(f"{len(result['stacks'])} stacks for {result['need']} servings.")
        if "none_because" in result:
            self.stdout.write(result["none_because"])
        if reckoning is not None:
            sizes = ", ".join(tier.name for tier in reckoning.tiers)
            quote, locale = reckoning.quote, book.identity.locale
            total, deposit = quote.total.written(locale), quote.deposit.written(locale)
            bench = minutes_written(reckoning.work.hands_on)
            self.stdout.write(
                f"{sizes}: {reckoning.servings} servings, {reckoning.surplus_words}.\n"
                f"{total}, of which {deposit} is the deposit; {bench} at the bench.\n"
                f"{reckoning.date.says}"
            )
            for problem in reckoning.problems:
                self.stdout.write(self.style.WARNING(problem.says))
        self.stdout.write(self.style.SUCCESS(f"{', '.join((RESULT, *worked.papers))} in {out}"))


def put_into(out: Path, worked: WorkedUp) -> None:
    """Write the files beside the folder first, so that it never holds half a result."""
    out = out.resolve()
    out.parent.mkdir(parents=True, exist_ok=True)
    beside = out.with_name(f".{out.name}-{uuid.uuid4().hex}")
    beside.mkdir()
    try:
        said = json.dumps(worked.result, ensure_ascii=False, indent=2) + "\n"
        (beside / RESULT).write_text(said, encoding="utf-8")
        for name, data in worked.papers.items():
            (beside / name).write_bytes(data)
        if not out.exists():
            os.rename(beside, out)
            return
        for stale in set(OUR_PAPERS) - set(worked.papers):
            (out / stale).unlink(missing_ok=True)
        for name in (*worked.papers, RESULT):  # the result last: it names the others
            os.replace(beside / name, out / name)
    finally:
        for left in beside.glob("*"):
            left.unlink()
        if beside.exists():
            beside.rmdir()
