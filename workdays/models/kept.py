"""What is kept of somebody who was erased, apart from everything else, and until when."""

from typing import ClassVar

from django.db import models

from coordinator.models import Person
from coordinator.personal import Keep


class Kept(models.Model):
    """The name under what somebody signed, who is "a volunteer" everywhere else.

    Opened for a claim only; ``until_on`` is the last day on which one may need it.
    """

    person = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="kept")
    name = models.CharField(max_length=120, blank=True)
    until_on = models.DateField()

    PERSONAL: ClassVar[dict[str, Keep]] = {"name": Keep.UNTIL_CLAIMS_END}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["until_on", "pk"]
        verbose_name_plural = "kept"

    def __str__(self) -> str:
        return f"kept until {self.until_on}"
