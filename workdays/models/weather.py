"""Forecasts as they came, limits as rows, and the call that a person made."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.days import Workday
from workdays.models.ground import Cemetery


class Forecast(models.Model):
    """One hourly forecast for a day; kept as it came, the newest counts."""

    class Source(models.TextChoices):
        BY_HAND = "hand", _("entered by hand")
        FILE = "file", _("read from a file")

    day = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="forecasts")
    source = models.CharField(max_length=8, choices=Source)
    hours = models.JSONField()
    entered_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("hours",)

    class Meta:
        ordering = ["-entered_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_source_display()}, {self.entered_at:%Y-%m-%d %H:%M}"


class WeatherLimit(models.Model):
    """One limit of one group of work, in its source's unit; a cemetery's own row wins."""

    cemetery = models.ForeignKey(
        Cemetery, null=True, blank=True, on_delete=models.CASCADE, related_name="weather_limits"
    )
    key = models.CharField(max_length=40)
    applies_to = models.CharField(max_length=20)
    measure = models.CharField(max_length=30)
    comparison = models.CharField(max_length=20)
    value = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    unit = models.CharField(max_length=12, blank=True)
    verdict = models.CharField(max_length=8)
    hours_before = models.PositiveSmallIntegerField(default=0)
    hours_after = models.PositiveSmallIntegerField(default=0)
    sentence = models.CharField(max_length=250)
    source = models.CharField(max_length=250)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = (
        "key",
        "applies_to",
        "measure",
        "comparison",
        "unit",
        "verdict",
        "sentence",
        "source",
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["cemetery", "key"], name="one_limit_a_key"),
            models.UniqueConstraint(
                fields=["key"],
                condition=models.Q(cemetery__isnull=True),
                name="one_general_limit_a_key",
            ),
        ]

    def __str__(self) -> str:
        return self.key


class Call(models.Model):
    """The decision for a day, made by a person."""

    class Decision(models.TextChoices):
        STANDS = "stands", _("it stands")
        SHORTENED = "shortened", _("it is shortened")
        MOVED = "moved", _("it moves to the rain date")
        CALLED_OFF = "called_off", _("it is called off")

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="calls")
    decision = models.CharField(max_length=10, choices=Decision)
    reason = models.CharField(max_length=500)
    forecast = models.ForeignKey(Forecast, null=True, blank=True, on_delete=models.SET_NULL)
    starts_at = models.DateTimeField(help_text=_("Start of the day as it stood after the call."))
    ends_at = models.DateTimeField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("reason",)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return self.get_decision_display()
