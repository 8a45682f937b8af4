"""Make three clean JPEGs of a picture that somebody took; nothing the camera wrote survives.

Pixels are copied onto a new picture, so that EXIF, GPS, XMP, comments, thumbnails and whatever is
appended to the file stay behind. Colours with a profile of their own become sRGB.
"""

import struct
import zlib
from dataclasses import dataclass
from io import BytesIO
from typing import IO, Any

from django.utils.translation import gettext as _
from PIL import Image, ImageCms, ImageFile, UnidentifiedImageError

LARGE_PX, MEDIUM_PX, SMALL_PX = 2400, 1000, 320
MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 100_000_000
# A plain JPEG is decoded at a fraction of its size; everything else needs memory for the whole.
MOST_PIXELS_WHOLE = 40_000_000
FORMATS = ("JPEG", "PNG", "WEBP")  # a JPEG followed by others, as phones write it, opens as "MPO"
QUALITY = 82
# Formats of phones that browsers cannot show, by the brand in their first box (ISO/IEC 23008-12).
HEIF_BRANDS = {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif"}
UNREADABLE = (
    ArithmeticError,
    AttributeError,
    EOFError,
    LookupError,
    OSError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
# Pillow's own guard stays as the last one; below it the sentence here can name the size.
Image.MAX_IMAGE_PIXELS = 3 * MOST_PIXELS


class NotAPicture(Exception):  # noqa: N818  # an answer, not an error
    """A file is no picture that can be kept; ``code`` is for programs, the text for people."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code, self.sentence = code, sentence


@dataclass(frozen=True)
class Picture:
    """One picture as three JPEGs; only ``reduced`` makes it, so whoever has one has a clean one.

    ``width_px`` and ``height_px`` are those of the largest.
    """

    large: bytes
    medium: bytes
    small: bytes
    width_px: int
    height_px: int


def reduced(file: IO[bytes]) -> Picture:
    """Return a picture in three sizes, upright, never enlarged. Raises NotAPicture."""
    # The library that prints sheets lets the whole process take damaged pictures for whole ones.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    _refuse_large(file)
    with _opened(file) as source:
        _refuse_shape(source)
        try:
            large = _upright(source)
        except MemoryError:
            raise _too_many(source) from None
        except UNREADABLE:
            raise NotAPicture(
                "truncated", _("The picture is cut off or damaged. Take or send it again.")
            ) from None
    medium = _fitted(large, MEDIUM_PX)
    small = _fitted(medium, SMALL_PX)
    return Picture(_jpeg(large), _jpeg(medium), _jpeg(small), large.width, large.height)


def _refuse_large(file: IO[bytes]) -> None:
    size = file.seek(0, 2)
    file.seek(0)
    if size == 0:
        raise NotAPicture("empty", _("The file is empty."))
    if size > MOST_BYTES:
        words = _("The picture is larger than %(most)s MB.")
        raise NotAPicture("too-large", words % {"most": MOST_BYTES // 1024 // 1024})


def _opened(file: IO[bytes]) -> Image.Image:
    """Read the head of a picture; nothing is decoded yet."""
    try:
        return Image.open(file, formats=FORMATS)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning, MemoryError):
        raise _too_many(None) from None
    except (UnidentifiedImageError, *UNREADABLE):
        raise _unknown(file) from None


def _unknown(file: IO[bytes]) -> NotAPicture:
    file.seek(0)
    head = file.read(12)
    if head[4:8] == b"ftyp" and head[8:12] in HEIF_BRANDS:
        words = _("This is a HEIC or AVIF picture. Let the camera save JPEG, or send it as JPEG.")
        return NotAPicture("not-a-picture", words)
    words = _("This is not a JPEG, PNG or WebP picture, whatever its name says.")
    return NotAPicture("not-a-picture", words)


def _refuse_shape(source: Image.Image) -> None:
    """Refuse what moves and what needs too much memory, before a pixel is decoded."""
    if source.format != "MPO" and getattr(source, "is_animated", False):
        raise NotAPicture("animated", _("This picture moves. Send a still one."))
    plain = source.format in ("JPEG", "MPO") and not source.info.get("progressive")
    if source.width * source.height > (MOST_PIXELS if plain else MOST_PIXELS_WHOLE):
        raise _too_many(source)


def _too_many(source: Image.Image | None) -> NotAPicture:
    if source is None:
        size = _("The picture has more pixels than can be handled.")
    else:
        size = _("The picture has %(width)s by %(height)s pixels: more than can be handled.") % {
            "width": source.width,
            "height": source.height,
        }
    return NotAPicture("too-many-pixels", f"{size} {_('Let the camera take smaller ones.')}")


def _upright(source: Image.Image) -> Image.Image:
    """Decode at about the size that is kept, turn as the camera says, return bare RGB pixels."""
    share = min(1, LARGE_PX / max(source.size))
    source.draft(None, (round(source.width * share), round(source.height * share)))
    source.load()
    profile = source.info.get("icc_profile")
    turn = _orientation(source)
    small = _fitted(_eight_bits(source), LARGE_PX)
    flat = _flat(_in_srgb(small, profile))
    return flat if turn is None else flat.transpose(turn)


TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def _orientation(source: Image.Image) -> Image.Transpose | None:
    """Return how to turn the picture; None for upright, and where the note is damaged."""
    try:
        return TURNS.get(source.getexif().get(274, 1))
    except UNREADABLE:
        return None


def _eight_bits(source: Image.Image) -> Image.Image:
    """Return a picture whose values end at 255: 16-bit greys lose their lower half."""
    if source.mode.startswith("I"):
        return source.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    return source.convert("RGBA") if source.mode in ("P", "PA", "LA", "La", "RGBa") else source


def _in_srgb(picture: Image.Image, profile: Any) -> Image.Image:
    """Return the picture in sRGB; a profile that cannot be read, or is of other colours, falls."""
    if not profile or picture.mode not in ("RGB", "RGBA", "CMYK", "L"):
        return picture
    mode = "RGBA" if picture.mode == "RGBA" else "RGB"
    try:
        given = ImageCms.ImageCmsProfile(BytesIO(profile))
        srgb = ImageCms.createProfile("sRGB")
        return (
            ImageCms.profileToProfile(picture, given, srgb, outputMode=mode, inPlace=False)
            or picture
        )
    except (ImageCms.PyCMSError, *UNREADABLE):
        return picture


def _flat(picture: Image.Image) -> Image.Image:
    """Return a new picture of the same pixels on white, without anything that hung on the old."""
    bare = Image.new("RGB", picture.size, "white")
    if picture.mode == "RGBA":
        bare.paste(picture, mask=picture.getchannel("A"))
    else:
        bare.paste(picture.convert("RGB"))
    return bare


def _fitted(picture: Image.Image, longest: int) -> Image.Image:
    """Return the picture with at most so many pixels on its long side."""
    width, height = picture.size
    if max(width, height) <= longest:
        return picture
    share = longest / max(width, height)
    size = (max(1, round(width * share)), max(1, round(height * share)))
    return picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _jpeg(picture: Image.Image) -> bytes:
    out = BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
