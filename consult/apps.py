"""The consultations as a Django app."""

from django.apps import AppConfig


class ConsultConfig(AppConfig):
    name = "consult"
    default_auto_field = "django.db.models.BigAutoField"
