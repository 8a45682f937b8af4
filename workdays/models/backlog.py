"""What is to be done: kinds of work as rows, equipment, and jobs."""

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coordinator.personal import Keep
from training.models import Skill
from workdays.models.ground import Cemetery, Section, Stone


class Equipment(models.Model):
    """A kind of equipment that jobs use and days provide, or people bring along."""

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=60)
    order = models.PositiveSmallIntegerField(default=0)
    may_be_brought = models.BooleanField(
        default=False, help_text=_("Whoever signs up is asked whether they bring it.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "name")

    class Meta:
        ordering = ["order", "pk"]
        verbose_name_plural = _("equipment")

    def __str__(self) -> str:
        return self.name


class KindOfWork(models.Model):
    """A kind of work as data: who may lead and help, and what it does to the stone."""

    class Level(models.IntegerChoices):
        NEW = 0, _("new")
        TAUGHT = 1, _("taught")
        PRACTISED = 2, _("practised")
        SIGNED_OFF = 3, _("signed off")
        SUPERVISOR = 4, _("supervisor")

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=60)
    sign = models.CharField(max_length=20)
    skill = models.ForeignKey(Skill, null=True, blank=True, on_delete=models.PROTECT)
    leader_level = models.PositiveSmallIntegerField(choices=Level, default=Level.NEW)
    helper_level = models.PositiveSmallIntegerField(choices=Level, default=Level.NEW)
    limits_new_people = models.BooleanField(default=False)
    touches = models.BooleanField(default=False)
    wets = models.BooleanField(default=False)
    lifts = models.BooleanField(default=False)
    digs = models.BooleanField(default=False)
    adults_only = models.BooleanField(default=False)
    needs_supervisor = models.BooleanField(default=False)
    needs_conservator = models.BooleanField(default=False)
    mixed_batch = models.BooleanField(default=False)
    on_section = models.BooleanField(default=False)
    who_may = models.CharField(max_length=160)
    caution = models.TextField()
    to_fetch = models.CharField(max_length=250, blank=True)
    order = models.PositiveSmallIntegerField(default=0)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "name", "sign", "who_may", "caution", "to_fetch")

    class Meta:
        ordering = ["order", "pk"]
        verbose_name_plural = _("kinds of work")

    def __str__(self) -> str:
        return self.name


class MixedMaterial(models.Model):
    """A material that is mixed by the batch and sets: what is left of a batch is lost."""

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=60)
    batch_litres = models.FloatField(validators=[MinValueValidator(0.1), MaxValueValidator(500)])
    workable_hours = models.FloatField(validators=[MinValueValidator(0.1), MaxValueValidator(72)])
    source = models.CharField(max_length=250)
    order = models.PositiveSmallIntegerField(default=0)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "name", "source")

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.name


class Job(models.Model):
    """One kind of work on one stone, or in one section."""

    class State(models.TextChoices):
        OPEN = "open", _("to do")
        DONE = "done", _("done")
        DROPPED = "dropped", _("dropped")

    kind = models.ForeignKey(KindOfWork, on_delete=models.PROTECT, related_name="jobs")
    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="jobs")
    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="jobs")
    stone = models.ForeignKey(
        Stone, null=True, blank=True, on_delete=models.PROTECT, related_name="jobs"
    )
    words = models.CharField(max_length=160, blank=True)
    priority = models.PositiveSmallIntegerField(
        default=30, validators=[MinValueValidator(1), MaxValueValidator(100)]
    )
    person_minutes = models.PositiveIntegerField(
        default=60, validators=[MinValueValidator(5), MaxValueValidator(6000)]
    )
    minutes_left = models.PositiveIntegerField(null=True, blank=True)
    fewest = models.PositiveSmallIntegerField(default=2, validators=[MinValueValidator(2)])
    most = models.PositiveSmallIntegerField(default=4, validators=[MaxValueValidator(12)])
    lifters = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(12)])
    equipment = models.JSONField(default=dict, blank=True)
    prerequisites = models.ManyToManyField(
        "self", symmetrical=False, blank=True, related_name="unlocks"
    )
    wait_hours = models.PositiveIntegerField(
        default=0, help_text=_("Hours that must pass after its prerequisites.")
    )
    earliest_on = models.DateField(null=True, blank=True)
    after_winter = models.BooleanField(
        default=False, help_text=_("Only after the first winter since its prerequisites.")
    )
    season_first = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("First day of the season, as month times 100 plus day.")
    )
    season_last = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("Last day of the season, as month times 100 plus day.")
    )
    material = models.ForeignKey(MixedMaterial, null=True, blank=True, on_delete=models.PROTECT)
    material_litres = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0.01), MaxValueValidator(500)]
    )
    step = models.ForeignKey(
        "workdays.ChainStep",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="jobs",
        help_text=_("The step of a chain that this job was made from."),
    )
    priority_by_hand = models.BooleanField(default=False)
    minutes_by_hand = models.BooleanField(default=False)
    learned_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("The days that its minutes were learned from.")
    )
    state = models.CharField(max_length=8, choices=State, default=State.OPEN)
    done_at = models.DateTimeField(null=True, blank=True)
    notes = models.TextField(blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("words", "equipment", "notes")

    class Meta:
        ordering = ["-priority", "pk"]
        indexes = [models.Index(fields=["cemetery", "state", "-priority"], name="job_backlog")]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(most__gte=models.F("fewest")), name="job_most_not_below_fewest"
            ),
            models.CheckConstraint(
                condition=models.Q(priority__gte=1, priority__lte=100), name="job_priority_1_to_100"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.label}{self._in_brackets}"

    def get_absolute_url(self) -> str:
        return reverse("job", args=[self.pk])

    @property
    def place(self) -> str:
        """Return the number of its stone; of work in a section as a whole, the section's name."""
        return self.stone.number if self.stone else self.section.name

    @property
    def label(self) -> str:
        """Return the work and its place: "Gentle cleaning, A-12"."""
        return f"{self.kind.name}, {self.place}"

    @property
    def where(self) -> str:
        """Return its section, its stone, and what its own words say: "Old hill, A-12 (foot)"."""
        where = f"{self.section.name}, {self.stone.number}" if self.stone else self.section.name
        return f"{where}{self._in_brackets}"

    @property
    def _in_brackets(self) -> str:
        return f" ({self.words})" if self.words else ""

    @property
    def minutes_to_do(self) -> int:
        """Return the person-minutes that are left; all of them while nobody has begun."""
        return self.person_minutes if self.minutes_left is None else self.minutes_left
