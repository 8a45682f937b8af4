"""Who wants a mail when a day opens at a cemetery, since when, and until when they did."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person, new_secret
from coordinator.personal import Keep
from workdays.models.ground import Cemetery


class OpeningMail(models.Model):
    """One person's wish for one cemetery; the secret ends it and opens nothing else.

    A wish that ended stays, so that the moments of both words can be shown.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="opening_mails")
    cemetery = models.ForeignKey(Cemetery, on_delete=models.CASCADE, related_name="opening_mails")
    secret = models.CharField(max_length=64, unique=True, default=new_secret)
    agreed_at = models.DateTimeField()
    ended_at = models.DateTimeField(
        null=True, blank=True, help_text=_("Empty: the mails still come.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("secret",)

    class Meta:
        ordering = ["agreed_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "cemetery"],
                condition=models.Q(ended_at__isnull=True),
                name="one_live_opening_mail",
            )
        ]

    def __str__(self) -> str:
        return f"{self.cemetery} since {self.agreed_at:%Y-%m-%d}"
