"""Who was asked to organise or to supervise, and what came of it."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from training.models import Skill
from workdays.models.bookings import Membership
from workdays.models.ground import Cemetery


class Invitation(models.Model):
    """One mailbox asked to take a role; its link opens until it is used, old or taken back."""

    email = models.EmailField()
    role = models.CharField(max_length=10, choices=Membership.Role)
    cemeteries = models.ManyToManyField(
        Cemetery, blank=True, related_name="+", help_text=_("None: the whole programme.")
    )
    skills = models.ManyToManyField(Skill, blank=True, related_name="+")
    invited_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    invited_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"email": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["-invited_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.email}, {self.get_role_display()}"

    @property
    def is_open(self) -> bool:
        """Return whether nobody has used it or taken it back; its link may still be too old."""
        return self.accepted_at is None and self.taken_back_at is None
