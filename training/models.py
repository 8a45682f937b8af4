"""What people learn and who holds what: no dates and places of its own.

A ledger row names its day, block, placement and cemetery by number and plain values, because
training knows nothing of workdays.
"""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep


class Skill(models.Model):
    """Something people learn, with what is asked before it counts as practised."""

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=60)
    practised_minutes = models.PositiveIntegerField(default=480)
    practised_stones = models.PositiveSmallIntegerField(default=0)
    order = models.PositiveSmallIntegerField(default=0)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "name")

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class ClinicAttendance(models.Model):
    """Somebody took part in a clinic on a skill."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="clinics_attended")
    skill = models.ForeignKey(Skill, on_delete=models.PROTECT)
    day_number = models.PositiveIntegerField(null=True, blank=True)
    cemetery_number = models.PositiveIntegerField(null=True, blank=True)
    on = models.DateField()
    recorded_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["person", "skill", "on"], name="one_clinic_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.skill} on {self.on}"


class HoursEntry(models.Model):
    """Proposed minutes of one person at one skill in one block of a day; never edited."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="hours_entries")
    skill = models.ForeignKey(Skill, on_delete=models.PROTECT)
    day_number = models.PositiveIntegerField()
    block_number = models.PositiveIntegerField()
    placement_number = models.PositiveIntegerField(null=True, blank=True)
    cemetery_number = models.PositiveIntegerField()
    place = models.CharField(max_length=120)
    on = models.DateField()
    minutes = models.PositiveIntegerField()
    stones = models.PositiveSmallIntegerField(default=0)
    supervisor = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="supervised_entries"
    )
    proposed_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("place",)

    class Meta:
        ordering = ["on", "block_number", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "day_number", "block_number", "skill"], name="one_entry_a_block"
            )
        ]
        verbose_name_plural = _("hours entries")

    def __str__(self) -> str:
        return f"{self.minutes} minutes of {self.skill} on {self.on}"


class Countersign(models.Model):
    """A supervisor's word on an hours entry; the newest one counts, none is edited."""

    class Decision(models.TextChoices):
        CONFIRMED = "confirmed", _("confirmed")
        CORRECTED = "corrected", _("corrected")
        REFUSED = "refused", _("refused")

    entry = models.ForeignKey(HoursEntry, on_delete=models.PROTECT, related_name="countersigns")
    decision = models.CharField(max_length=10, choices=Decision)
    minutes = models.PositiveIntegerField()
    stones = models.PositiveSmallIntegerField(default=0)
    why = models.CharField(max_length=250, blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="countersigned")
    at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"why": Keep.UNTIL_AUDITED}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_decision_display()}: {self.minutes} minutes"


class SignOff(models.Model):
    """A supervisor's judgement that a person holds a level; revocable, dated, never edited."""

    class Level(models.TextChoices):
        SIGNED_OFF = "signed_off", _("signed off")
        SUPERVISOR = "supervisor", _("supervisor")

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="sign_offs")
    skill = models.ForeignKey(Skill, on_delete=models.PROTECT)
    level = models.CharField(max_length=12, choices=Level)
    cemetery_numbers = models.JSONField(
        default=list, blank=True, help_text=_("Empty: it holds at every cemetery.")
    )
    on = models.DateField()
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="sign_offs_given"
    )
    words = models.CharField(max_length=250, blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"words": Keep.UNTIL_AUDITED}
    PLAIN: ClassVar[tuple[str, ...]] = ("cemetery_numbers",)

    class Meta:
        ordering = ["on", "pk"]

    def __str__(self) -> str:
        return f"{self.get_level_display()} in {self.skill} since {self.on}"


class Revocation(models.Model):
    """The end of a sign-off."""

    sign_off = models.OneToOneField(SignOff, on_delete=models.PROTECT, related_name="revocation")
    on = models.DateField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    why = models.CharField(max_length=250)
    recorded_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"why": Keep.UNTIL_AUDITED}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    def __str__(self) -> str:
        return f"revoked on {self.on}"
