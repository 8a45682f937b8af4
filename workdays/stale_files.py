"""Remove the files of a picture when its row goes, whoever deleted it."""

from typing import Any

from django.db import transaction
from django.db.models.signals import post_delete

from workdays.models import Photograph


def watch() -> None:
    """Have every deleted picture take its files along."""
    post_delete.connect(_remove_files, sender=Photograph, dispatch_uid="files of a photograph")


def _remove_files(instance: Photograph, **kwargs: Any) -> None:
    """Remove the files once the deletion stands; a rollback leaves them where they are."""
    files = [instance.file, instance.medium, instance.small]
    stored = [(file.storage, file.name) for file in files if file.name]

    def remove() -> None:
        for storage, name in stored:
            storage.delete(name)

    transaction.on_commit(remove, robust=True)
