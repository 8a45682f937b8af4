"""Give a private file to somebody whom a view has already let in."""

from pathlib import PurePosixPath

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404

TYPES = {".pdf": "application/pdf", ".jpg": "image/jpeg", ".png": "image/png"}


def private_file(file: FieldFile, *, name: str, as_attachment: bool = True) -> FileResponse:
    """Return a stored file under a name of our own; kept by no cache on the way.

    Its type comes from the extension that our form gave after reading the content; anything
    else is bytes to save, never a page to run. 404 when nothing is stored.
    """
    stored = file.name or ""
    if not stored or not file.storage.exists(stored):
        raise Http404
    extension = PurePosixPath(stored).suffix.lower()
    content_type = TYPES.get(extension, "application/octet-stream")
    response = FileResponse(
        file.open("rb"),
        as_attachment=as_attachment or extension not in TYPES,
        filename=f"{name}{extension}",
        content_type=content_type,
    )
    response["Cache-Control"] = "private, no-store"
    return response
