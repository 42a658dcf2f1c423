"""A photo as it comes from a phone, made small, and stripped of the place where it was taken."""

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps

from fillmark.core.values.errors import BadPhoto
from fillmark.core.values.quantities import write_number
from fillmark.published.record_rules import PHOTO_LIMIT_MB, PHOTO_LIMIT_MEGAPIXELS, PHOTO_SIDE_PX, PHOTO_SMALL_SIDE_PX

_FORMATS = ("JPEG", "PNG", "WEBP")
_QUALITY = 82


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """A photo as it is kept: as JPEG, in the size to look at and in the size of an emblem."""

    jpeg: bytes
    small_jpeg: bytes


def read_picture(data: bytes) -> Picture:
    """The photo turned upright, made small and written anew, so that nothing of its camera or place goes along.

    Raises:
        BadPhoto: too large, or not a photo that can be read.
    Source:
        record.photo_limit, record.photo_pixels, record.photo_side, record.photo_small_side
    """
    if len(data) > PHOTO_LIMIT_MB.value * 1_000_000:
        raise _too_large(f"A photo of {len(data) / 1_000_000:.0f} MB")
    try:
        with Image.open(BytesIO(data), formats=_FORMATS) as opened:
            pixels = opened.width * opened.height
            if pixels > PHOTO_LIMIT_MEGAPIXELS.value * 1_000_000:
                raise _too_large(f"A photo of {pixels / 1_000_000:.0f} megapixels")
            opened.draft("RGB", (int(PHOTO_SIDE_PX.value),) * 2)
            upright = ImageOps.exif_transpose(opened).convert("RGBA")
    except Image.DecompressionBombError:
        raise _too_large("A picture of far too many pixels") from None
    except (OSError, SyntaxError, ValueError):
        raise BadPhoto(
            field="photo",
            got="A file that is not a photo, or not a whole one",
            allowed="a photo as JPEG, PNG or WebP",
            remedy="Choose a photo from the camera; if the phone saves HEIC, send it as JPEG.",
        ) from None
    return Picture(jpeg=_write(upright, PHOTO_SIDE_PX.value), small_jpeg=_write(upright, PHOTO_SMALL_SIDE_PX.value))


def _write(upright: Image.Image, side_px: float) -> bytes:
    """A fresh picture of at most this size: what a file carries beside its pixels stays behind."""
    made = upright.copy()
    made.thumbnail((int(side_px), int(side_px)), Image.Resampling.LANCZOS)
    clean = Image.new("RGB", made.size, "white")
    clean.paste(made, mask=made.getchannel("A"))
    written = BytesIO()
    clean.save(written, "JPEG", quality=_QUALITY, optimize=True)
    return written.getvalue()


def _too_large(got: str) -> BadPhoto:
    return BadPhoto(
        field="photo",
        got=got,
        allowed=f"{write_number(PHOTO_LIMIT_MB.value)} MB and {write_number(PHOTO_LIMIT_MEGAPIXELS.value)} megapixels "
        "or less",
        remedy="Take it in a smaller size, or cut it, and send it again.",
    )
