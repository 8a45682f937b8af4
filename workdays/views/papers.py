"""Give a private file to somebody whom a view has already let in."""

from pathlib import PurePosixPath

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404

TYPES = {".pdf": "application/pdf", ".jpg": "image/jpeg", ".png": "image/png"}


def private_file(
    file: FieldFile, *, name: str, as_attachment: bool = True, keep_seconds: int = 0
) -> FileResponse:
    """Return a stored file under a name of our own; kept by no cache on the way.

    The reader's own browser may keep it for ``keep_seconds``; by default not at all.

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
    kept = f"max-age={keep_seconds}" if keep_seconds else "no-store"
    response["Cache-Control"] = f"private, {kept}"
    return response


def public_picture(file: FieldFile) -> FileResponse:
    """Return a picture that everybody may see; caches give it back within the hour."""
    response = private_file(file, name="picture", as_attachment=False)
    response["Cache-Control"] = "public, max-age=3600"
    return response
