"""A square code that a telephone's camera reads as an address, as inline SVG."""

import qrcode
from django.utils.safestring import SafeString, mark_safe
from qrcode.image.svg import SvgPathFillImage


def qr_svg(address: str) -> SafeString:
    """Return the code of one of our own addresses, black on white whatever the page's colours."""
    picture = qrcode.make(address, image_factory=SvgPathFillImage, box_size=16, border=3)
    text: str = picture.to_string(encoding="unicode")
    return mark_safe(text)  # noqa: S308  # drawn by the library from squares, holds no text
