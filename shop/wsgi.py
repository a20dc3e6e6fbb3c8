"""What a server runs."""

import gc

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from shop import env

env.hand_on("DJANGO_SETTINGS_MODULE", "shop.settings", only_if_missing=True)
application = get_wsgi_application()

# Every page is loaded now, rather than while the first visitor waits. What is there by then stays, so
# the collector need not go through it again and again: that would hold up some answers by a tenth of a second.
# It looks a tenth as often at what is new, too: a page leaves little that only the collector finds.
get_resolver().url_patterns  # noqa: B018  reading it loads the pages
gc.collect()
gc.freeze()
gc.set_threshold(10_000, 20, 50)  # in place of 700, 10, 10
