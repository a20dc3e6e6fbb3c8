"""What a server runs."""

from django.core.wsgi import get_wsgi_application

from shop import env

env.hand_on("DJANGO_SETTINGS_MODULE", "shop.settings", only_if_missing=True)
application = get_wsgi_application()
