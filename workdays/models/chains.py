"""Chains of jobs as rows: what a stone needs, step by step, with waiting times and seasons."""

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.personal import Keep
from workdays.models.backlog import KindOfWork, MixedMaterial


class ChainTemplate(models.Model):
    """What is done about one need of a stone; the programme can change it, step by step."""

    class Need(models.TextChoices):
        CLEAN = "clean", _("clean")
        RESET = "reset", _("reset")
        LOOK_AGAIN = "look_again", _("look again")
        CONSERVATOR = "conservator", _("conservator")
        LOSING_FACE = "losing_face", _("losing its face")
        NOT_SEEN = "not_seen", _("not seen")

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    need = models.CharField(max_length=12, choices=Need)
    source = models.CharField(max_length=250)
    in_use = models.BooleanField(default=True)
    order = models.PositiveSmallIntegerField(default=0)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "name", "source")

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class ChainStep(models.Model):
    """One step of a chain: a kind of work, what it waits for and how much work it is.

    ``minutes_by_size`` gives person-minutes for small, medium and large stones.
    """

    template = models.ForeignKey(ChainTemplate, on_delete=models.CASCADE, related_name="steps")
    order = models.PositiveSmallIntegerField()
    kind = models.ForeignKey(KindOfWork, on_delete=models.PROTECT, related_name="steps")
    words = models.CharField(max_length=160)
    after: "models.ManyToManyField[ChainStep, models.Model]" = models.ManyToManyField(
        "self", symmetrical=False, blank=True, related_name="before"
    )
    wait_hours = models.PositiveIntegerField(default=0)
    after_winter = models.BooleanField(default=False)
    season_first = models.PositiveSmallIntegerField(null=True, blank=True)
    season_last = models.PositiveSmallIntegerField(null=True, blank=True)
    minutes_by_size = models.JSONField(default=dict)
    fewest = models.PositiveSmallIntegerField(default=2, validators=[MinValueValidator(2)])
    most = models.PositiveSmallIntegerField(default=4, validators=[MaxValueValidator(12)])
    lifters = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(12)])
    equipment = models.JSONField(default=dict, blank=True)
    material = models.ForeignKey(MixedMaterial, null=True, blank=True, on_delete=models.PROTECT)
    material_litres = models.FloatField(null=True, blank=True)
    source = models.CharField(max_length=250, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("words", "minutes_by_size", "equipment", "source")

    class Meta:
        ordering = ["template", "order", "pk"]

    def __str__(self) -> str:
        return f"{self.template}: {self.words}"


class JobTime(models.Model):
    """How long one job really took on one day, in person-minutes; estimates are learned from it."""

    job = models.ForeignKey("workdays.Job", on_delete=models.PROTECT, related_name="times")
    day = models.ForeignKey("workdays.Workday", on_delete=models.PROTECT, related_name="job_times")
    on = models.DateField()
    person_minutes = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    people = models.PositiveSmallIntegerField()
    finished = models.BooleanField(default=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["job", "day"], name="one_time_a_job_and_day")
        ]

    def __str__(self) -> str:
        return f"{self.job} on {self.on}: {self.person_minutes} min"
