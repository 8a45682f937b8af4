"""Spreadsheets brought in: the file, how its columns are read, what it changed, how to undo it."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.ground import Cemetery


class SheetImport(models.Model):
    """One file of stones or surveys. ``mapping`` is how its columns are read; ``undo`` the values
    that were there before, by model and id, and the ids of rows that it made."""

    class State(models.TextChoices):
        WAITING = "waiting", _("not imported yet")
        DONE = "done", _("imported")
        UNDONE = "undone", _("undone")

    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="imports")
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    file = models.FileField(upload_to="private/imports/", blank=True)
    file_name = models.CharField(max_length=160)
    sha256 = models.CharField(max_length=64)
    mapping = models.JSONField(default=dict, blank=True)
    counts = models.JSONField(default=dict, blank=True)
    undo = models.JSONField(default=dict, blank=True)
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    added_at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(null=True, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"file": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ("file_name", "sha256", "mapping", "counts", "undo")

    class Meta:
        ordering = ["-added_at", "-pk"]

    def __str__(self) -> str:
        return self.file_name
