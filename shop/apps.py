"""The shop as a Django app."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "The shop"

    def ready(self):
        # Rows exist only once the apps are loaded.
        from shop.models.sealed import put_up_guards

        post_migrate.connect(put_up_guards, sender=self)
