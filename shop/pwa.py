"""How does the app sit on a tablet's home screen? The manifest that browsers read, signed in or not."""

from django.contrib.auth.decorators import login_not_required
from django.http import JsonResponse
from django.templatetags.static import static
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

PAPER = "#F6F4EC"


@login_not_required
@require_safe
@cache_control(max_age=3600, public=True)
def manifest(request):
    icons = [("icon-192.png", "192x192", "any"), ("icon-512.png", "512x512", "any")]
    icons += [("icon-512-maskable.png", "512x512", "maskable"), ("icon.svg", "any", "any")]
    return JsonResponse(
        {
            "id": "/",
            "name": "Tierwright",
            "short_name": "Tierwright",
            "description": "From guest count to signed design sheet.",
            "start_url": "/",
            "scope": "/",
            "display": "standalone",
            "background_color": PAPER,
            "theme_color": PAPER,
            "lang": "en",
            "icons": [
                {
                    "src": static(f"icons/{name}"),
                    "sizes": sizes,
                    "type": "image/svg+xml" if name.endswith("svg") else "image/png",
                    "purpose": purpose,
                }
                for name, sizes, purpose in icons
            ],
        },
        content_type="application/manifest+json",
    )
