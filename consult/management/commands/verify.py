"""Is this file a contract of ours, and untouched? Says it in words; the exit status is 0 only if it is both."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from consult.core.signing import Link, verify_chain
from consult.models import Contract
from consult.sealing import Checked, Verdict, check
from shop.core.book import digest


def yes_or_no(whether):
    return "yes" if whether else "NO"


def behind(contract: Contract) -> list[tuple[str, bool]]:
    """Whether what the paper was made from still says the same: the sheet, the contract, the record."""
    sheet = contract.sheet
    record = list(sheet.consultation.record.all())
    evidence = contract.body["evidence"]
    head = next((line.hash for line in record if line.place == evidence["record_lines"]), "")
    whole = verify_chain(Link(line.as_hashed(), line.previous, line.hash) for line in record)
    return [
        ("The sheet's values have the fingerprint that was signed", digest(sheet.body) == sheet.fingerprint
         and sheet.fingerprint == contract.body["fingerprint"]),
        ("The contract's values have the fingerprint kept with them", digest(contract.body) == contract.fingerprint),
        ("The record of the consultation is whole", whole is None),
        ("The record holds the line that the paper names", head == evidence["record_head"]),
    ]  # fmt: skip


class Command(BaseCommand):
    help = (
        "Say whether a PDF is a contract of this shop and untouched. Exit status 0 if both, else 1."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE.pdf", type=Path)

    def handle(self, *args, **options):
        try:
            pdf = options["file"].read_bytes()
        except OSError as error:
            raise CommandError(f"{options['file']} cannot be read: {error.strerror}.") from error
        checked = check(pdf)
        said = self.said(checked)
        if not said:
            sys.exit(1)

    def said(self, checked: Checked) -> bool:
        """Print what is true; whether all of it is as it should be."""
        self.stdout.write(f"{checked.verdict.capitalize()}.")
        for sentence in checked.says:
            self.stdout.write(f"  {sentence}")
        self.stdout.write(f"Carries our seal: {yes_or_no(checked.seal_is_ours)}")
        self.stdout.write(f"The seal holds by itself: {yes_or_no(checked.seal_holds)}")
        facts = behind(checked.contract) if checked.contract else []
        for words, holds in facts:
            self.stdout.write(f"{words}: {yes_or_no(holds)}")
        if checked.contract:
            signature = checked.contract.sheet.signature
            self.stdout.write(f"Signed by {signature.name}, {signature.signed_at_local}.")
        self.stdout.write(
            "A self-signed seal proves that a paper is unchanged since the shop made it, not who the shop is."
        )
        is_ours = checked.verdict is Verdict.UNTOUCHED and checked.seal_holds
        return is_ours and all(holds for _, holds in facts)
