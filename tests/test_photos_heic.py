"""Does a phone's HEIC photo come out upright and plain, as any other does?"""

import numpy as np
import pytest
from PIL import ExifTags, Image

from consult.photos import clean
from tests.heic_maker import heic_of
from tests.pictures import SECRET, cake, is_the_cake, read, refusal

CAKE = cake(400, 304)


def phone_exif(orientation: int) -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Model] = SECRET.decode()
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(
        {ExifTags.GPS.GPSLatitudeRef: "N", ExifTags.GPS.GPSLatitude: (52.0, 7.0, 41.0)}
    )
    return exif.tobytes()[6:]


def test_heic_photo_comes_out_as_the_same_picture() -> None:
    photo = clean(heic_of(CAKE))
    assert (photo.width, photo.height) == (400, 304)
    assert is_the_cake(photo.jpeg)
    assert is_the_cake(photo.thumbnail)
    difference = np.asarray(read(photo.jpeg)).astype(int) - np.asarray(CAKE)
    assert np.abs(difference).mean() < 2


# Phones write how they were held twice: in the file's own words, and in Exif as orientation. It
# must be followed once. Exif's 8 is a quarter turn anticlockwise, 3 a half, 6 a quarter clockwise.
@pytest.mark.parametrize(("quarter_turns", "orientation"), [(0, 1), (1, 8), (2, 3), (3, 6)])
def test_heic_photo_is_turned_upright_once(quarter_turns: int, orientation: int) -> None:
    stored = Image.fromarray(np.ascontiguousarray(np.rot90(np.asarray(CAKE), -quarter_turns)))
    for exif in (b"", phone_exif(orientation)):
        photo = clean(heic_of(stored, quarter_turns, exif))
        assert (photo.width, photo.height) == (400, 304)
        assert is_the_cake(photo.jpeg)


def test_place_and_camera_of_a_heic_photo_are_gone() -> None:
    original = heic_of(CAKE, exif=phone_exif(1))
    assert SECRET in original
    assert b"GPS" not in clean(original).jpeg
    for jpeg in (clean(original).jpeg, clean(original).thumbnail):
        assert SECRET not in jpeg
        assert not read(jpeg).getexif()


@pytest.mark.parametrize("kept", [0.02, 0.3, 0.9])
def test_heic_photo_cut_short_is_refused(kept: float) -> None:
    whole = heic_of(CAKE)
    assert refusal(whole[: int(len(whole) * kept)]).startswith("This picture is broken")
