"""Pictures from phones, made anew: nothing of the file that came is kept but its pixels.

So the place where a photo was taken, the camera, and anything hidden in the file are gone.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 50_000_000
LONGEST_SIDE = 1600
SIGNATURE_SIDE = 900
FORMATS = ("JPEG", "PNG", "WEBP")
TOO_LARGE = f"A picture has at most {MOST_PIXELS // 1_000_000} million pixels."
NO_PICTURE = "This file is no JPEG, PNG or WebP picture."


class BadPicture(ValueError):
    """Why a picture is not taken, in words."""


@dataclass(frozen=True)
class CleanPhoto:
    jpeg: bytes
    width: int
    height: int


def clean_photo(content: bytes) -> CleanPhoto:
    """A JPEG of at most 1600 px, upright, without anything but pixels. Raises BadPicture."""
    picture = ImageOps.exif_transpose(_opened(content))
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = BytesIO()
    _bare(picture.convert("RGB")).save(out, "JPEG", quality=80, optimize=True)
    return CleanPhoto(out.getvalue(), *picture.size)


def clean_signature(content: bytes) -> bytes:
    """A grey PNG of at most 900 px on white. Raises BadPicture."""
    picture = _opened(content).convert("RGBA")
    picture.thumbnail((SIGNATURE_SIDE, SIGNATURE_SIDE))
    white = Image.new("RGBA", picture.size, "white")
    out = BytesIO()
    _bare(Image.alpha_composite(white, picture).convert("L")).save(out, "PNG", optimize=True)
    return out.getvalue()


def _opened(content: bytes) -> Image.Image:
    if not content:
        raise BadPicture("No picture came with it.")
    if len(content) > MOST_BYTES:
        raise BadPicture(f"A picture has at most {MOST_BYTES // 1024 // 1024} MB.")
    try:
        picture = Image.open(BytesIO(content), formats=FORMATS)
    except Image.DecompressionBombError as trouble:
        raise BadPicture(TOO_LARGE) from trouble
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as trouble:
        raise BadPicture(NO_PICTURE) from trouble
    if picture.width * picture.height > MOST_PIXELS:
        raise BadPicture(TOO_LARGE)
    try:
        picture.load()
    except (OSError, SyntaxError, ValueError) as trouble:
        raise BadPicture(NO_PICTURE) from trouble
    return picture


def _bare(picture: Image.Image) -> Image.Image:
    """The same pixels in a picture that has never heard of the file."""
    bare = Image.new(picture.mode, picture.size)
    bare.paste(picture)
    return bare
