"""A paper that somebody uploads: what it is comes from its content, never from its name."""

import uuid
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

MOST_BYTES = 10 * 1024 * 1024
# First bytes: ISO 32000-1, 7.5.2 (a PDF reader takes the header within 1024 bytes, we ask for it
# at the start); ITU-T T.81, B.1.1.3 (SOI, then a marker); W3C PNG, 5.2.
STARTS = {b"%PDF-": "pdf", b"\xff\xd8\xff": "jpg", b"\x89PNG\r\n\x1a\n": "png"}
# What a whole file ends with: the same places (%%EOF; EOI; IEND with its checksum).
ENDS = {"pdf": b"%%EOF", "jpg": b"\xff\xd9", "png": b"IEND\xaeB`\x82"}


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
        upload.name = f"{uuid.uuid4().hex}.{_extension(upload)}"
        return upload


def _extension(upload: "UploadedFile[Any]") -> str:
    upload.seek(0)
    head = upload.read(8)
    upload.seek(max(0, (upload.size or 0) - 1024))
    tail = upload.read(1024)
    upload.seek(0)
    for start, extension in STARTS.items():
        if head.startswith(start) and ENDS[extension] in tail:
            return extension
    raise ValidationError(
        _("This is not a whole PDF, JPEG or PNG, whatever its name says."), code="not_a_paper"
    )
