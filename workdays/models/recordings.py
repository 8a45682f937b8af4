"""What is read on a stone before it is lost: its lines, and the facts they give."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.ground import Stone


class Recording(models.Model):
    """One reading of one stone on one date; never edited, a later reading is a new one.

    ``lines`` are as cut, top to bottom; doubtful letters are marked as the form explains.
    """

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="recordings")
    on = models.DateField()
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    lines = models.JSONField(default=list, blank=True)
    notes = models.TextField(blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("lines", "notes")

    class Meta:
        ordering = ["-on", "-pk"]

    def __str__(self) -> str:
        return f"reading of {self.stone} on {self.on}"


class RecordedFact(models.Model):
    """A name or a date that a reading gives, with how sure it is and where it is from."""

    class Subject(models.TextChoices):
        NAME = "name", _("name")
        BORN = "born", _("born")
        DIED = "died", _("died")
        AGE = "age", _("age")
        OTHER = "other", _("other")

    class Origin(models.TextChoices):
        STONE = "stone", _("read on the stone")
        REGISTER = "register", _("from a register")
        TOLD = "told", _("told by somebody")

    recording = models.ForeignKey(Recording, on_delete=models.CASCADE, related_name="facts")
    order = models.PositiveSmallIntegerField(default=0)
    subject = models.CharField(max_length=8, choices=Subject)
    words = models.CharField(max_length=160)
    certainty = models.CharField(
        max_length=10, choices=Stone.Certainty, default=Stone.Certainty.UNKNOWN
    )
    origin = models.CharField(max_length=10, choices=Origin, default=Origin.STONE)
    origin_words = models.CharField(
        max_length=160, blank=True, help_text=_("Which register and page, or who told it.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {"origin_words": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ("words",)

    class Meta:
        ordering = ["recording", "order", "pk"]

    def __str__(self) -> str:
        return f"{self.get_subject_display()}: {self.words}"
