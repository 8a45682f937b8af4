"""Seats in other people's cars: a question between two who come, and the answer."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.personal import Keep
from workdays.models.days import SignUp


class SeatRequest(models.Model):
    """One of two people asks the other; both have agreed when the other says yes."""

    class State(models.TextChoices):
        ASKED = "asked", _("asked")
        AGREED = "agreed", _("agreed")
        REFUSED = "refused", _("refused")
        TAKEN_BACK = "taken_back", _("taken back")
        ENDED = "ended", _("ended: one of the two no longer comes")

    driver = models.ForeignKey(SignUp, on_delete=models.PROTECT, related_name="seats_given")
    rider = models.ForeignKey(SignUp, on_delete=models.PROTECT, related_name="seats_got")
    seats = models.PositiveSmallIntegerField()
    asked_by_driver = models.BooleanField()
    state = models.CharField(max_length=10, choices=State, default=State.ASKED)
    asked_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["driver", "rider"],
                condition=models.Q(state__in=["asked", "agreed"]),
                name="one_live_seat_request",
            ),
            models.CheckConstraint(
                condition=~models.Q(driver=models.F("rider")), name="nobody_rides_with_themselves"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.seats} seats, {self.get_state_display()}"

    @property
    def asked(self) -> SignUp:
        """Return who was asked."""
        return self.rider if self.asked_by_driver else self.driver

    def other(self, row: SignUp) -> SignUp:
        """Return the other of the two."""
        return self.rider if row.pk == self.driver_id else self.driver
