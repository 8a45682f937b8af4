"""Files as phones, and mischief, send them."""

import struct
import zipfile
import zlib
from io import BytesIO
from typing import Any

from PIL import Image, ImageCms, PngImagePlugin

SECRET = "seen at 42.28081 by the widow"


def drawn(width: int, height: int, mode: str = "RGB") -> Image.Image:
    """Return a picture whose upper left quarter is red, the rest pale."""
    picture = Image.new("RGB", (width, height), (230, 225, 215))
    picture.paste((190, 30, 30), (0, 0, width // 2, height // 2))
    return picture.convert(mode)


def jpeg(width: int = 600, height: int = 400, *, mode: str = "RGB", **options: Any) -> bytes:
    """Return a JPEG."""
    out = BytesIO()
    drawn(width, height, mode).save(out, "JPEG", **options)
    return out.getvalue()


def saved(picture: Image.Image, form: str, **options: Any) -> bytes:
    """Return a picture in some format."""
    out = BytesIO()
    picture.save(out, form, **options)
    return out.getvalue()


def exif(orientation: int = 1) -> Image.Exif:
    """Return what a camera notes: how it was held, who made it, where."""
    notes = Image.Exif()
    notes[0x0112] = orientation
    notes[0x010E] = notes[0x9286] = SECRET
    notes[0x8825] = {1: "N", 2: (42.0, 16.0, 50.9), 3: "W", 4: (83.0, 44.0, 34.9)}
    return notes


def srgb() -> bytes:
    """Return a colour profile."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def talkative_jpeg() -> bytes:
    """Return a JPEG with all that cameras and programs hang on one, and a film after its end."""
    xmp = f"<x:xmpmeta>{SECRET}</x:xmpmeta>".encode()
    notes = exif()
    written = jpeg(exif=notes, icc_profile=srgb(), xmp=xmp, comment=SECRET)
    return written + b"ftypmp42" + SECRET.encode()


def talkative_png() -> bytes:
    """Return a PNG with words in its chunks."""
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", SECRET)
    words.add_itxt("XML:com.adobe.xmp", SECRET, zip=True)
    return saved(drawn(600, 400), "PNG", pnginfo=words, exif=exif(), icc_profile=srgb())


def talkative_webp() -> bytes:
    """Return a WebP with notes."""
    notes = exif()
    return saved(drawn(600, 400), "WEBP", exif=notes, xmp=SECRET.encode(), icc_profile=srgb())


def huge_png(width: int = 12_000, height: int = 12_000) -> bytes:
    """Return a valid black PNG of one bit a pixel: a few kilobytes, 144 million pixels."""
    packer = zlib.compressobj(9)
    row = b"\0" * (1 + (width + 7) // 8)
    data = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", data), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, body) for name, body in chunks)


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def a_zip() -> bytes:
    """Return an archive."""
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("stone.jpg", jpeg(20, 20))
    return out.getvalue()
