"""Crew plans: drafts and the published one, crews, placements, and the runs that made them."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.backlog import Job
from workdays.models.days import Block, Workday


class CrewPlan(models.Model):
    """All crews of one day; every saved one has passed the checker."""

    class State(models.TextChoices):
        DRAFT = "draft", _("draft")
        PUBLISHED = "published", _("published")
        OLD = "old", _("replaced")

    class Change(models.TextChoices):
        """What made this plan of the one before; said beside the button that takes it back."""

        PLANNED = "planned", _("the crews were planned")
        PERSON_MOVED = "person-moved", _("somebody was moved")
        JOB_MOVED = "job-moved", _("a job was moved")
        JOB_OUT = "job-out", _("a job was taken out")
        SWAPPED = "swapped", _("two people changed places")
        PINNED = "pinned", _("somebody or a job was pinned")
        UNPINNED = "unpinned", _("a pin was taken out")
        LOCKED = "locked", _("a crew was locked")
        UNLOCKED = "unlocked", _("a crew was unlocked")
        APART = "apart", _("two people were kept apart")
        TOGETHER = "together", _("two people may be in one crew again")

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="plans")
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    version = models.PositiveIntegerField(
        default=1, help_text=_("Rises with every plan of the day.")
    )
    change = models.CharField(max_length=12, choices=Change, default=Change.PLANNED)
    before = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="+",
        help_text=_("The plan that it was made of; taking the change back returns to it."),
    )
    begins_at = models.DateTimeField(
        null=True,
        blank=True,
        help_text=_("Planned again on the day, from then on; empty: for the whole day."),
    )
    difference = models.JSONField(
        default=list, blank=True, help_text=_("Sentences: what changes against the plan in force.")
    )
    seed = models.BigIntegerField(default=0)
    rounds = models.PositiveIntegerField(default=0)
    solver = models.CharField(max_length=60, blank=True)
    facts_hash = models.CharField(max_length=64, blank=True)
    value = models.IntegerField(default=0)
    terms = models.JSONField(default=dict, blank=True)
    bound = models.IntegerField(null=True, blank=True)
    proved = models.BooleanField(default=False)
    left_out = models.JSONField(
        default=dict, blank=True, help_text=_("Sentences by job and by person left out.")
    )
    made_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    published_at = models.DateTimeField(null=True, blank=True)
    published_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "left_out": Keep.AFTER_THE_DAY,
        "difference": Keep.AFTER_THE_DAY,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("solver", "facts_hash", "terms")

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["day"],
                condition=models.Q(state="published"),
                name="one_published_plan_a_day",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_state_display()} plan of {self.day}"


class Crew(models.Model):
    """People who work together in one block, who leads them, who supervises."""

    plan = models.ForeignKey(CrewPlan, on_delete=models.CASCADE, related_name="crews")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, related_name="crews")
    name = models.CharField(max_length=40)
    lead = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    supervisor = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    locked = models.BooleanField(default=False, help_text=_("Its people and jobs stay in it."))

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("name",)

    class Meta:
        ordering = ["block", "name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "block", "lead"], name="one_crew_a_lead")
        ]

    def __str__(self) -> str:
        return self.name


class Placement(models.Model):
    """One person's part in a crew; the lead has one too."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="placements")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="placements")
    pinned = models.BooleanField(default=False)

    class Meta:
        ordering = ["crew", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["crew", "person"], name="one_placement_a_crew")
        ]

    def __str__(self) -> str:
        return f"{self.person} in {self.crew}"


class CrewJob(models.Model):
    """A job in a crew's block, from and to."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="crew_jobs")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="crew_jobs")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    pinned = models.BooleanField(default=False)

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["crew", "job"], name="one_crew_job"),
            models.CheckConstraint(
                condition=models.Q(ends_at__gt=models.F("starts_at")),
                name="crew_job_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.job} {self.starts_at:%H:%M}"


class StaysOut(models.Model):
    """Somebody who is kept out of every crew of a block by hand."""

    plan = models.ForeignKey(CrewPlan, on_delete=models.CASCADE, related_name="stay_out")
    block = models.ForeignKey(Block, on_delete=models.CASCADE, related_name="+")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["block", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "block", "person"], name="stays_out_once")
        ]

    def __str__(self) -> str:
        return f"{self.person} in no crew in the {self.block.name}"


class KeptOut(models.Model):
    """A job that is kept out of a plan by hand; it stays on the day."""

    plan = models.ForeignKey(CrewPlan, on_delete=models.CASCADE, related_name="kept_out")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")

    class Meta:
        verbose_name_plural = _("jobs kept out")
        ordering = ["plan", "pk"]
        constraints = [models.UniqueConstraint(fields=["plan", "job"], name="kept_out_once")]

    def __str__(self) -> str:
        return f"{self.job}, in no crew"


class KeptApart(models.Model):
    """Two people who are in no crew together on this day; told to nobody.

    Each plan of the day has its own rows, so that taking a change back brings back the pairs.
    """

    plan = models.ForeignKey(CrewPlan, on_delete=models.CASCADE, related_name="kept_apart")
    one = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    other = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        verbose_name_plural = _("pairs kept apart")
        ordering = ["plan", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "one", "other"], name="kept_apart_once"),
            models.CheckConstraint(
                condition=models.Q(one__lt=models.F("other")), name="kept_apart_in_order"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.one} and {self.other}"


class PlanRun(models.Model):
    """One request to the planner: asked, running, finished; can be left and come back to.

    It asks for a plan of a day (of the rest of it, with `begins_at`), or what would change a
    plan: then `plan` is the one that it is about, `gains` the sentences found, `steps_done` of
    `steps` the changes tried. While it runs, `found` is the best plan so far, checked, worth
    `value`; whoever stops it keeps that plan.
    """

    class Kind(models.TextChoices):
        PLAN = "plan", _("plan the day")
        WHAT_IF = "what_if", _("what would change a plan")

    class State(models.TextChoices):
        ASKED = "asked", _("asked for")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")
        CANCELLED = "cancelled", _("cancelled")

    class Effort(models.TextChoices):
        """How long is searched: two by tries, which can be repeated, one by the clock."""

        QUICK = "quick", _("quick: some seconds")
        THOROUGH = "thorough", _("thorough: about a minute")
        LONG = "long", _("long: five minutes, with a closer bound")

    OPEN = (State.ASKED, State.RUNNING)

    day = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="plan_runs")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.PLAN)
    state = models.CharField(max_length=10, choices=State, default=State.ASKED)
    effort = models.CharField(max_length=8, choices=Effort, default=Effort.QUICK)
    seed = models.BigIntegerField(default=1)
    begins_at = models.DateTimeField(
        null=True, blank=True, help_text=_("Plan the rest of the day from then on.")
    )
    max_moved = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=_("Most people who may be moved; empty: any number.")
    )
    asked_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    started_at = models.DateTimeField(null=True, blank=True)
    seen_at = models.DateTimeField(
        null=True, blank=True, help_text=_("When the worker last gave a sign.")
    )
    finished_at = models.DateTimeField(null=True, blank=True)
    made_on = models.PositiveIntegerField(
        null=True, blank=True, help_text=_("The version of the plan that it began with.")
    )
    value = models.IntegerField(null=True, blank=True)
    bound = models.IntegerField(null=True, blank=True)
    tries = models.PositiveBigIntegerField(default=0)
    found = models.JSONField(
        default=dict, blank=True, help_text=_("The best plan so far, by ids of people and jobs.")
    )
    plan = models.ForeignKey(CrewPlan, null=True, blank=True, on_delete=models.SET_NULL)
    words = models.CharField(max_length=500, blank=True)
    gains = models.JSONField(default=list, blank=True)
    steps = models.PositiveSmallIntegerField(default=0)
    steps_done = models.PositiveSmallIntegerField(default=0)
    clash = models.JSONField(
        default=list, blank=True, help_text=_("Pins that cannot hold together, and their words.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "words": Keep.AFTER_THE_DAY,
        "clash": Keep.AFTER_THE_DAY,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("gains", "found")

    class Meta:
        ordering = ["-asked_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_state_display()} ({self.day})"

    @property
    def is_open(self) -> bool:
        """Whether the worker has still to do it, or is at it."""
        return self.state in self.OPEN
