"""Which pictures should we keep to, and which of their colours?"""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from consult.actions import designs
from consult.actions import photos as actions
from consult.actions.keeping import Seen, Settled
from consult.core.design import Swatch
from consult.finding import AtHand, consultation_at_hand
from consult.forms import StepForm
from consult.models import Photo
from consult.page import keep_answer, show, whole_number
from consult.photos import BadPhoto


class PhotosForm(StepForm):
    """The caption of each picture."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for photo in self.at.row.photos.all():
            self.fields[f"caption_{photo.pk}"] = forms.CharField(
                label="Caption", required=False, max_length=200
            )

    @staticmethod
    def saved(at: AtHand) -> dict[str, Any]:
        return {f"caption_{photo.pk}": photo.caption for photo in at.row.photos.all()}

    def captions(self) -> dict[int, str]:
        return {int(name.split("_")[1]): caption for name, caption in self.cleaned_data.items()}


def shown(at: AtHand, form: Any = None) -> dict[str, Any]:
    form = form or PhotosForm(at=at)
    kept = {swatch.hex for swatch in at.design.swatches}
    pictures = [
        {
            "row": photo,
            "caption": form[f"caption_{photo.pk}"]
            if f"caption_{photo.pk}" in form.fields
            else None,
            "swatches": [(swatch, swatch.hex in kept) for swatch in photo.as_value().swatches],
        }
        for photo in at.row.photos.all()
    ]
    return {
        "form": form,
        "pictures": pictures,
        "room": max(0, actions.MOST_PHOTOS - len(pictures)),
    }


def _swatches_after(at: AtHand, use: str, drop: str) -> tuple[Swatch, ...]:
    """The cake's colours with one from a picture more, or one less."""
    found = {swatch.hex: swatch for photo in at.design.photos for swatch in photo.swatches}
    kept = tuple(swatch for swatch in at.design.swatches if swatch.hex != drop)
    if use in found and use not in {swatch.hex for swatch in kept}:
        kept += (Swatch(found[use].name, use),)
    return kept


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int) -> HttpResponse:
    at = consultation_at_hand(pk)
    if request.method != "POST":
        return show(request, at, "photos", **shown(at))
    if "upload" in request.POST or request.FILES:
        return _add(request, at)
    use, drop = request.POST.get("use", ""), request.POST.get("drop", "")
    take_off = whole_number(request, "take_off")
    form = PhotosForm(request.POST, at=at)
    if not form.is_valid():
        return show(request, at, "photos", **shown(at, form))

    def act(seen: Seen) -> object:
        if use or drop:
            return designs.choose_swatches(
                at.row,
                at.design,
                by=request.user,
                seen=seen,
                swatches=_swatches_after(at, use, drop),
            )
        if take_off is not None:
            photo = Photo.objects.filter(consultation=at.row, pk=take_off).first()
            return photo and actions.take_off_photo(at.row, by=request.user, seen=seen, photo=photo)
        return actions.caption_photos(at.row, by=request.user, seen=seen, captions=form.captions())

    return keep_answer(request, at, "photos", act, form=form, afresh=shown)


def _add(request: HttpRequest, at: AtHand) -> HttpResponse:
    """Each file by itself: one that can't be taken keeps none of the others out."""
    files = request.FILES.getlist("pictures") + request.FILES.getlist("camera")
    wrong = []
    room = actions.MOST_PHOTOS - at.row.photos.count()
    if not files:
        wrong.append("Choose a picture first.")
    for number, file in enumerate(files):
        if number >= room:
            wrong.append(f"{file.name}: there is room for {actions.MOST_PHOTOS} pictures.")
            continue
        try:
            actions.add_photo(at.row, by=request.user, seen=None, data=file.read())
        except BadPhoto as bad:
            wrong.append(f"{file.name}: {bad}")
        except Settled as settled:
            return show(request, at, "photos", status=409, refused=str(settled), **shown(at))
    now = consultation_at_hand(at.row.pk)
    status = 422 if wrong else 200
    return show(request, now, "photos", status=status, wrong=wrong, saved=not wrong, **shown(now))
