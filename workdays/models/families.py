"""Families of those named on a stone, whose leave is wanted for some kinds of work."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.personal import Keep
from workdays.models.backlog import KindOfWork
from workdays.models.ground import Stone


class FamilyLeave(models.Model):
    """One family of one stone and its leave; while it is not given, the kinds wanted for wait."""

    class State(models.TextChoices):
        WANTED = "wanted", _("not asked yet")
        ASKED = "asked", _("asked")
        GIVEN = "given", _("given")
        REFUSED = "refused", _("refused")
        NO_ANSWER = "no_answer", _("no answer")

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="families")
    kinds: "models.ManyToManyField[KindOfWork, models.Model]" = models.ManyToManyField(
        KindOfWork, related_name="family_leaves"
    )
    state = models.CharField(max_length=10, choices=State, default=State.WANTED)
    name = models.CharField(max_length=120)
    contact = models.CharField(max_length=250, blank=True)
    asked_on = models.DateField(null=True, blank=True)
    answered_on = models.DateField(null=True, blank=True)
    words = models.TextField(blank=True, help_text=_("What they answered, in their words."))

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "name": Keep.UNTIL_ERASED,
        "contact": Keep.UNTIL_ERASED,
        "words": Keep.UNTIL_ERASED,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["stone", "pk"]

    def __str__(self) -> str:
        return f"leave for {self.stone}: {self.get_state_display()}"
