"""Workdays and clinics, their blocks, who signed up, what was signed, who is on the ground."""

import uuid
from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person, SentMessage, new_secret
from coordinator.personal import Keep
from training.models import Skill
from workdays.models.backlog import Job
from workdays.models.frozen import FrozenRow, FrozenRows
from workdays.models.ground import Cemetery


class Workday(models.Model):
    """A dated gathering at a cemetery; a clinic is one whose purpose is teaching."""

    class Purpose(models.TextChoices):
        WORKDAY = "workday", _("workday")
        CLINIC = "clinic", _("clinic")

    class State(models.TextChoices):
        DRAFT = "draft", _("not open yet")
        OPEN = "open", _("open for sign-up")
        CALLED_OFF = "called_off", _("called off")
        CLOSED = "closed", _("closed")

    COMING: ClassVar[tuple[State, ...]] = (State.DRAFT, State.OPEN)

    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="days")
    purpose = models.CharField(max_length=8, choices=Purpose, default=Purpose.WORKDAY)
    teaches = models.ForeignKey(Skill, null=True, blank=True, on_delete=models.PROTECT)
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    starts_at = models.DateTimeField(db_index=True)
    ends_at = models.DateTimeField()
    rain_on = models.DateField(null=True, blank=True)
    moved_from = models.DateField(null=True, blank=True)
    cut_off_at = models.DateTimeField(help_text=_("Until when places may be taken and answered."))
    call_by_at = models.DateTimeField(help_text=_("By when the weather call is made."))
    meeting_point = models.CharField(max_length=160)
    capacity = models.PositiveSmallIntegerField(
        default=20, validators=[MinValueValidator(2), MaxValueValidator(500)]
    )
    fewest_people = models.PositiveSmallIntegerField(default=4, validators=[MinValueValidator(2)])
    teachers = models.PositiveSmallIntegerField(
        default=1, help_text=_("Supervisors who are expected to teach at a clinic.")
    )
    learners_per_teacher = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        help_text=_("Of a clinic; empty: as the cemetery's settings say."),
    )
    bring = models.CharField(max_length=250, blank=True)
    words = models.TextField(blank=True)
    equipment = models.JSONField(default=dict, blank=True)
    plan_weights = models.JSONField(
        default=dict, blank=True, help_text=_("Points of a plan that differ from the usual ones.")
    )
    jobs = models.ManyToManyField(Job, blank=True, related_name="days")
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(auto_now=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = (
        *("meeting_point", "bring", "words", "equipment", "plan_weights"),
    )

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_at__gt=models.F("starts_at")), name="day_ends_after_start"
            )
        ]

    def __str__(self) -> str:
        return f"{self.cemetery}, {self.starts_at:%Y-%m-%d}"

    def get_absolute_url(self) -> str:
        return reverse("day", args=[self.pk])


class Block(models.Model):
    """A stretch of a day: work, or a break; on quarter hours."""

    class Kind(models.TextChoices):
        WORK = "work", _("work")
        BREAK = "break", _("break")

    day = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="blocks")
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.WORK)
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("name",)

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_at__gt=models.F("starts_at")),
                name="block_ends_after_start",
            )
        ]

    def __str__(self) -> str:
        return self.name


class Party(models.Model):
    """People who come together; a group may hold places for people not yet named.

    ``is_group``: its leader holds places that others take by the link with its secret.
    """

    day = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="parties")
    name = models.CharField(max_length=120)
    leader = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="parties_led"
    )
    reserved = models.PositiveSmallIntegerField(default=0)
    is_group = models.BooleanField(default=False)
    held_until = models.DateTimeField(
        null=True, blank=True, help_text=_("Until when the reserved places are held.")
    )
    secret = models.CharField(max_length=64, unique=True, default=new_secret)

    PERSONAL: ClassVar[dict[str, Keep]] = {"name": Keep.AFTER_THE_DAY}
    PLAIN: ClassVar[tuple[str, ...]] = ("secret",)

    class Meta:
        verbose_name_plural = _("parties")

    def __str__(self) -> str:
        return self.name


class SignUp(models.Model):
    """One person for one day, with what they said they can and want to do."""

    class State(models.TextChoices):
        UNCONFIRMED = "unconfirmed", _("unconfirmed")
        WAITING = "waiting", _("on the waiting list")
        OFFERED = "offered", _("offered a place")
        COMING = "coming", _("coming")
        WITHDRAWN = "withdrawn", _("withdrawn")
        LAPSED = "lapsed", _("lapsed")

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="sign_ups")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="sign_ups")
    party = models.ForeignKey(
        Party, null=True, blank=True, on_delete=models.SET_NULL, related_name="sign_ups"
    )
    guardian = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="wards"
    )
    named_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="named"
    )
    state = models.CharField(max_length=12, choices=State)
    held_until = models.DateTimeField(null=True, blank=True)
    question_open = models.BooleanField(
        default=False, help_text=_("The day moved; the person has not said yes to the new date.")
    )
    comes_at = models.DateTimeField(null=True, blank=True)
    leaves_at = models.DateTimeField(null=True, blank=True)
    expected_at = models.DateTimeField(
        null=True, blank=True, help_text=_("Was missing on the day; is counted as coming then.")
    )
    not_coming_at = models.DateTimeField(
        null=True, blank=True, help_text=_("When it was noted on the day that they do not come.")
    )
    experience = models.JSONField(default=dict, blank=True)
    wishes = models.ForeignKey(Skill, null=True, blank=True, on_delete=models.PROTECT)
    cannot_lift = models.BooleanField(default=False)
    cannot_kneel = models.BooleanField(default=False)
    cannot_stand_long = models.BooleanField(default=False)
    languages = models.JSONField(default=list, blank=True)
    brings = models.JSONField(default=dict, blank=True)
    seats_offered = models.PositiveSmallIntegerField(default=0)
    seats_wanted = models.PositiveSmallIntegerField(default=0)
    seats_from = models.CharField(max_length=60, blank=True)
    words = models.CharField(max_length=500, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "experience": Keep.UNTIL_ERASED,
        "languages": Keep.UNTIL_ERASED,
        "brings": Keep.AFTER_THE_DAY,
        "seats_from": Keep.AFTER_THE_DAY,
        "words": Keep.AFTER_THE_DAY,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ()

    class Meta:
        ordering = ["created_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "person"],
                condition=~models.Q(state__in=["withdrawn", "lapsed"]),
                name="one_live_sign_up_a_day",
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} for {self.day}"


class Waiver(FrozenRow):
    """The text a person signs, in one language; a published version never changes.

    A version is one text in its first language, and rows that say the same in others, each with
    a hash of its own, added when it was published or later. ``translates``: the first text.
    """

    class Validity(models.TextChoices):
        DAY = "day", _("for one day")
        SEASON = "season", _("until the end of the calendar year")
        NEW_VERSION = "version", _("until a new version")

    cemetery = models.ForeignKey(
        Cemetery, null=True, blank=True, on_delete=models.PROTECT, related_name="waivers"
    )
    title = models.CharField(max_length=120)
    version = models.PositiveSmallIntegerField()
    language = models.CharField(max_length=10, default="en")
    translates = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="translations"
    )
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    validity = models.CharField(max_length=8, choices=Validity, default=Validity.SEASON)
    published_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("title", "language", "text", "text_sha256")

    objects = FrozenRows["Waiver"].as_manager()

    class Meta:
        ordering = ["-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["cemetery", "version", "language"], name="one_text_a_version"
            ),
            models.UniqueConstraint(
                fields=["version", "language"],
                condition=models.Q(cemetery__isnull=True),
                name="one_general_text_a_version",
            ),
            models.UniqueConstraint(
                fields=["cemetery", "version"],
                condition=models.Q(translates__isnull=True),
                name="one_first_text_a_version",
            ),
            models.UniqueConstraint(
                fields=["version"],
                condition=models.Q(cemetery__isnull=True, translates__isnull=True),
                name="one_general_first_text_a_version",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title}, version {self.version}"


class Signature(FrozenRow):
    """A waiver signed: the exact text, its hash, who, for whom, when, by which act."""

    class Role(models.TextChoices):
        SELF = "self", _("for themselves")
        GUARDIAN = "guardian", _("as guardian")
        MINOR = "minor", _("as a minor, to the rules")

    MAY_CHANGE = frozenset({"confirmed_at", "withdrawn_at"})

    waiver = models.ForeignKey(Waiver, on_delete=models.PROTECT, related_name="signatures")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="signatures")
    signed_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="signatures_given")
    role = models.CharField(max_length=8, choices=Role, default=Role.SELF)
    relation = models.CharField(max_length=40, blank=True)
    typed_name = models.CharField(max_length=120)
    text = models.TextField()
    text_sha256 = models.CharField(max_length=64)
    version = models.PositiveSmallIntegerField()
    language = models.CharField(max_length=10)
    affirmed = models.CharField(max_length=160)
    method = models.CharField(max_length=60)
    signed_at = models.DateTimeField()
    confirmed_at = models.DateTimeField(
        null=True, blank=True, help_text=_("Valid from the moment the mailed link was answered.")
    )
    valid_until = models.DateField(null=True, blank=True)
    paper = models.FileField(upload_to="private/waivers/", blank=True)
    signed_on = models.DateField(
        null=True, blank=True, help_text=_("The date that stands on a paper.")
    )
    noted_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    noted_for = models.ForeignKey(
        Workday, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "typed_name": Keep.UNTIL_CLAIMS_END,
        "relation": Keep.UNTIL_CLAIMS_END,
        "paper": Keep.UNTIL_CLAIMS_END,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("text", "text_sha256", "language", "affirmed", "method")

    objects = FrozenRows["Signature"].as_manager()

    class Meta:
        ordering = ["-signed_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.person}: version {self.version}"


class RollEntry(models.Model):
    """One stay of one person on the ground of a day; more rows if they leave and come back."""

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="roll")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="roll")
    arrived_at = models.DateTimeField()
    left_at = models.DateTimeField(null=True, blank=True)
    recorded_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["arrived_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(left_at__isnull=True)
                | models.Q(left_at__gte=models.F("arrived_at")),
                name="roll_left_after_arrived",
            ),
            models.UniqueConstraint(
                fields=["day", "person"],
                condition=models.Q(left_at__isnull=True),
                name="one_open_roll_entry",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} at {self.arrived_at:%H:%M}"


class Invite(models.Model):
    """The calendar entry of one mailbox for one day: one UID, a SEQUENCE that only rises."""

    class State(models.TextChoices):
        LIVE = "live", _("live")
        CANCELLED = "cancelled", _("cancelled")

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="invites")
    mailbox = models.EmailField()
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sequence = models.PositiveIntegerField(default=0)
    rescheduled_sequence = models.PositiveIntegerField(default=0)
    state = models.CharField(max_length=10, choices=State, default=State.LIVE)
    first_message_id = models.CharField(max_length=200, blank=True)
    last_message_id = models.CharField(max_length=200, blank=True)
    content_sha256 = models.CharField(max_length=64, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"mailbox": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ("first_message_id", "last_message_id", "content_sha256")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["day", "mailbox"], name="one_invite_a_mailbox")
        ]

    def __str__(self) -> str:
        return f"{self.uid} ({self.sequence})"


class Notice(models.Model):
    """Something a person must know about a day, and whether they said that they saw it."""

    day = models.ForeignKey(Workday, on_delete=models.PROTECT, related_name="notices")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="notices")
    reason = models.CharField(max_length=60)
    call = models.ForeignKey(
        "workdays.Call", null=True, blank=True, on_delete=models.PROTECT, related_name="notices"
    )
    message = models.ForeignKey(SentMessage, null=True, blank=True, on_delete=models.SET_NULL)
    created_at = models.DateTimeField(auto_now_add=True)
    seen_at = models.DateTimeField(null=True, blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("reason",)

    class Meta:
        ordering = ["created_at", "pk"]

    def __str__(self) -> str:
        return f"{self.reason}, {self.person}"
