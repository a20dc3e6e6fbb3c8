"""Which address leads where?"""

from django.urls import include, path
from django.views.generic import RedirectView

from shop import pwa
from shop.pages.account import account
from shop.pages.log_in import log_in, log_out

handler500 = "shop.trouble.page"

urlpatterns = [
    path("log-in/", log_in, name="log_in"),
    path("log-out/", log_out, name="log_out"),
    path("account/", account, name="account"),
    path("manifest.webmanifest", pwa.manifest, name="manifest"),
    path("shop/", include("shop.pages.urls")),
]

# The front page is the desk of the consultations, which brings its own addresses; "front" is its name for
# pages that know nothing of consultations.
urlpatterns += [
    path("", include("consult.urls")),
    path("", RedirectView.as_view(pattern_name="account"), name="front"),
]
