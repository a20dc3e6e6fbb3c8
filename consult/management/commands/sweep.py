"""What has had its time? Erases drafts of inquiries after two days, and inquiries that led to nothing."""

from django.core.management.base import BaseCommand

from consult.actions.sweeping import sweep


class Command(BaseCommand):
    help = "Erase drafts of inquiries after two days, and inquiries that led to nothing after the months set."

    def handle(self, **options):
        drafts, inquiries = sweep()
        if options["verbosity"]:
            self.stdout.write(f"{drafts} drafts and {inquiries} inquiries erased.")
