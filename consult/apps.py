"""The consultations as a Django app."""

from django.apps import AppConfig

from shop.printing import ask_of


class ConsultConfig(AppConfig):
    name = "consult"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # The shop's pages ask which letters papers can print and know nothing of papers. Not at the top:
        # an app is named before its settings can be read.
        from consult.documents.fonts import cannot_show

        ask_of(cannot_show)
