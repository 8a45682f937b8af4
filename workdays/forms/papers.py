"""A paper that somebody uploads: what it is comes from its content, never from its name."""

import re
import uuid
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from PIL import Image

MOST_BYTES = 10 * 1024 * 1024
# A letter scanned at 600 dots an inch has 34 million; decoding takes at most 4 bytes for each.
MOST_PIXELS = 40_000_000
PICTURES = {"JPEG": "jpg", "MPO": "jpg", "PNG": "png"}
# ISO 32000-1, 7.5.2: the header (a reader takes it within 1024 bytes, we ask for it at the
# start); 7.5.5: the file ends with where its table of objects begins, and %%EOF.
PDF_START = re.compile(rb"%PDF-[12]\.[0-9]")
PDF_END = re.compile(rb"startxref\s+([0-9]{1,10})\s+%%EOF")
PDF_OBJECT = re.compile(rb"[0-9]+\s+[0-9]+\s+obj\b")
TAIL = 1024


class PaperField(forms.FileField):
    """A PDF, JPEG or PNG of at most 10 MB, renamed so that its name tells nothing."""

    default_error_messages = {"empty": "The file is empty.", "missing": "Choose the file again."}

    def __init__(self, **kwargs: Any) -> None:
        accept = "application/pdf,image/jpeg,image/png"
        widget = forms.FileInput(attrs={"accept": accept})
        super().__init__(**({"widget": widget} | kwargs))

    def clean(self, data: Any, initial: Any = None) -> Any:
        """Return the file under a name of our own, or the stored one when none was chosen."""
        upload = super().clean(data, initial)
        if not isinstance(upload, UploadedFile):
            return upload
        if (upload.size or 0) > MOST_BYTES:
            raise ValidationError(_("The file is larger than 10 MB."), code="too_large")
        extension = "pdf" if _is_pdf(upload) else _picture_extension(upload)
        upload.seek(0)
        upload.name = f"{uuid.uuid4().hex}.{extension}"
        return upload


def _is_pdf(upload: "UploadedFile[Any]") -> bool:
    upload.seek(0)
    content = upload.read()
    if not PDF_START.match(content):
        return False
    end = PDF_END.search(content, max(0, len(content) - TAIL))
    if end and int(end[1]) < len(content) and PDF_OBJECT.search(content):
        return True
    raise _no_paper()


def _picture_extension(upload: "UploadedFile[Any]") -> str:
    """Return what a picture is, once all of it was decoded; a huge one is not begun."""
    upload.seek(0)
    try:
        with Image.open(upload, formats=("JPEG", "PNG")) as picture:
            _ask_for_fewer_pixels(picture.width * picture.height)
            picture.load()
            return PICTURES[picture.format or ""]
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels() from None
    except ValidationError:
        raise
    except (OSError, ValueError, SyntaxError, EOFError, KeyError):
        raise _no_paper() from None


def _ask_for_fewer_pixels(pixels: int) -> None:
    if pixels > MOST_PIXELS:
        raise _too_many_pixels()


def _too_many_pixels() -> ValidationError:
    sentence = _("The picture has more than 40 million pixels: scan it at 300 dots an inch.")
    return ValidationError(sentence, code="too_many_pixels")


def _no_paper() -> ValidationError:
    sentence = _("This is not a whole PDF, JPEG or PNG, whatever its name says.")
    return ValidationError(sentence, code="not_a_paper")
