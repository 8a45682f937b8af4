"""What an organiser wrote to people of a day, and whom it went to."""

from typing import ClassVar

from django.db import models

from coordinator.models import Person, SentMessage
from coordinator.personal import Keep
from workdays.models.days import Workday


class DayMessage(models.Model):
    """One message to the people of a day or to a part of them; kept with the day.

    ``press``: one for each preview, so that a double press sends once. ``reach_sha256`` says
    whom the preview named.
    """

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="messages")
    subject = models.CharField(max_length=120)
    text = models.TextField()
    part = models.CharField(max_length=80, blank=True)
    press = models.UUIDField(unique=True)
    reach_sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("subject", "text", "part", "reach_sha256")

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return self.subject


class MessageTo(models.Model):
    """One person whom a message was for; without a mail they are rung."""

    message = models.ForeignKey(DayMessage, on_delete=models.CASCADE, related_name="to")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="day_messages")
    mail = models.ForeignKey(SentMessage, null=True, blank=True, on_delete=models.SET_NULL)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["message", "person"], name="one_message_a_person")
        ]

    def __str__(self) -> str:
        return f"{self.message} to {self.person}"
