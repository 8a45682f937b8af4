"""Remove the files of a picture or a sheet when its row goes, whoever deleted it."""

from typing import Any

from django.db import transaction
from django.db.models import Model
from django.db.models.fields.files import FieldFile
from django.db.models.signals import post_delete

from workdays.models import Photograph, SheetImport

FILES: dict[type[Model], tuple[str, ...]] = {
    Photograph: ("file", "medium", "small"),
    SheetImport: ("file",),
}


def watch() -> None:
    """Have every deleted picture and sheet take its files along."""
    for model in FILES:
        uid = f"files of {model.__name__}"
        post_delete.connect(_remove_files, sender=model, dispatch_uid=uid)


def _remove_files(instance: Model, **kwargs: Any) -> None:
    """Remove the files once the deletion stands; a rollback leaves them where they are."""
    files: list[FieldFile] = [getattr(instance, name) for name in FILES[type(instance)]]
    stored = [(file.storage, file.name) for file in files if file.name]

    def remove() -> None:
        for storage, name in stored:
            storage.delete(name)

    transaction.on_commit(remove, robust=True)
