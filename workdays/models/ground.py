"""The ground: cemeteries with their settings and permissions, sections, stones, what was seen."""

from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person, new_secret
from coordinator.personal import Keep
from workdays.rules.of_age import adult_age, age_words, parents_words

if TYPE_CHECKING:
    from workdays.models.backlog import KindOfWork


class Cemetery(models.Model):
    """A burial ground, who owns it, how to reach it and what is there."""

    name = models.CharField(max_length=120)
    slug = models.SlugField(unique=True)
    owner_name = models.CharField(max_length=120)
    owner_contact = models.CharField(max_length=120, blank=True)
    owner_email = models.EmailField(blank=True)
    owner_telephone = models.CharField(max_length=40, blank=True)
    owner_secret = models.CharField(max_length=64, unique=True, default=new_secret)
    time_zone = models.CharField(max_length=60, default="America/New_York")
    us_state = models.CharField(
        max_length=2, blank=True, help_text=_("Two letters; decides from which age people sign.")
    )
    latitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    longitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    address = models.CharField(
        max_length=250, help_text=_("As you would say it to an ambulance: road, number, gate.")
    )
    way_in = models.TextField(blank=True, help_text=_("How to find the gate and where to park."))
    water = models.CharField(max_length=120, blank=True)
    toilet = models.CharField(max_length=120, blank=True)
    shade = models.CharField(max_length=120, blank=True)
    parking = models.CharField(max_length=120, blank=True)
    phone_signal = models.CharField(max_length=120, blank=True)
    notes = models.TextField(blank=True)
    gallery_on = models.DateField(
        null=True, blank=True, help_text=_("Since when the owner lets the public see pictures.")
    )
    gallery_words = models.CharField(
        max_length=250, blank=True, help_text=_("Who gave that leave, when, where it is written.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "owner_contact": Keep.UNTIL_ERASED,
        "owner_email": Keep.UNTIL_ERASED,
        "owner_telephone": Keep.UNTIL_ERASED,
    }
    PLAIN: ClassVar[tuple[str, ...]] = (
        "name",
        "slug",
        "owner_name",
        "owner_secret",
        "time_zone",
        "us_state",
        "address",
        "way_in",
        "water",
        "toilet",
        "shade",
        "parking",
        "phone_signal",
        "notes",
        "gallery_words",
    )

    class Meta:
        ordering = ["name"]
        verbose_name_plural = _("cemeteries")

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("cemetery", args=[self.slug])

    @property
    def zone(self) -> ZoneInfo:
        """Return the time zone in which this cemetery's clocks are read."""
        return ZoneInfo(self.time_zone)

    @property
    def adult_age(self) -> int:
        """Return from which age, in years, people sign for themselves here."""
        return adult_age(self.us_state)

    @property
    def adult_age_words(self) -> str:
        """Return that age with its place and source."""
        return age_words(self.us_state)

    @property
    def parents_words(self) -> str:
        """Return what is known of a parent's signature for a child here."""
        return parents_words(self.us_state)


class CemeterySetting(models.Model):
    """One value on which published guidance disagrees, as this cemetery has decided it.

    A missing row means the default in ``workdays.rules.settings``.
    """

    cemetery = models.ForeignKey(Cemetery, on_delete=models.CASCADE, related_name="settings")
    key = models.CharField(max_length=40)
    value = models.JSONField()
    source = models.CharField(max_length=250)
    changed_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    changed_at = models.DateTimeField(auto_now=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("key", "value", "source")

    class Meta:
        ordering = ["cemetery", "key"]
        constraints = [
            models.UniqueConstraint(fields=["cemetery", "key"], name="one_value_a_setting")
        ]

    def __str__(self) -> str:
        return f"{self.key} = {self.value}"


class Permission(models.Model):
    """The owner's written leave: which kinds of work, from when to when, the paper attached."""

    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="permissions")
    kinds: "models.ManyToManyField[KindOfWork, models.Model]" = models.ManyToManyField(
        "workdays.KindOfWork", related_name="permissions"
    )
    starts_on = models.DateField()
    ends_on = models.DateField()
    given_by = models.CharField(max_length=120)
    given_on = models.DateField(null=True, blank=True)
    terms = models.TextField(blank=True)
    no_probing = models.BooleanField(default=False)
    training_demanded = models.BooleanField(
        default=False, help_text=_("Whoever works must have taken the training the owner names.")
    )
    quiet_from = models.TimeField(null=True, blank=True)
    quiet_until = models.TimeField(null=True, blank=True)
    paper = models.FileField(upload_to="private/permissions/", blank=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"given_by": Keep.UNTIL_CLAIMS_END}
    PLAIN: ClassVar[tuple[str, ...]] = ("terms", "paper")

    class Meta:
        ordering = ["cemetery", "-starts_on"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_on__gte=models.F("starts_on")),
                name="permission_ends_after_start",
            )
        ]

    def __str__(self) -> str:
        return f"{self.cemetery} {self.starts_on} to {self.ends_on}"


class Section(models.Model):
    """A part of a cemetery; metres east and north of the cemetery's origin."""

    cemetery = models.ForeignKey(Cemetery, on_delete=models.CASCADE, related_name="sections")
    name = models.CharField(max_length=80)
    order = models.PositiveSmallIntegerField(default=0)
    east_m = models.FloatField(default=0)
    north_m = models.FloatField(default=0)
    outline = models.JSONField(
        default=list, blank=True, help_text=_("Corners as [east, north] in metres; may be empty.")
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("name", "outline")

    class Meta:
        ordering = ["cemetery", "order", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["cemetery", "name"], name="one_section_a_name")
        ]

    def __str__(self) -> str:
        return self.name


class Stone(models.Model):
    """Any marker. Its number is unique in its cemetery; measures in centimetres and metres."""

    class Type(models.TextChoices):
        TABLET = "tablet", _("tablet")
        SHOULDERED = "shouldered", _("shouldered tablet")
        OBELISK = "obelisk", _("obelisk")
        PEDESTAL = "pedestal", _("pedestal (die on a base)")
        LEDGER = "ledger", _("ledger")
        FOOTSTONE = "footstone", _("footstone")
        FLUSH = "flush", _("flush marker")
        OTHER = "other", _("other")

    class Material(models.TextChoices):
        MARBLE = "marble", _("marble")
        GRANITE = "granite", _("granite")
        LIMESTONE = "limestone", _("limestone")
        SANDSTONE = "sandstone", _("sandstone")
        SLATE = "slate", _("slate")
        CONCRETE = "concrete", _("cast stone or concrete")
        METAL = "metal", _("cast metal")
        UNKNOWN = "unknown", _("not known")

    class Certainty(models.TextChoices):
        SURE = "sure", _("sure")
        LIKELY = "likely", _("likely")
        DOUBTFUL = "doubtful", _("doubtful")
        UNKNOWN = "unknown", _("not known")

    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="stones")
    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="stones")
    number = models.CharField(max_length=40)
    row = models.PositiveSmallIntegerField(null=True, blank=True)
    position = models.PositiveSmallIntegerField(null=True, blank=True)
    type = models.CharField(max_length=12, choices=Type, default=Type.TABLET)
    material = models.CharField(max_length=12, choices=Material, default=Material.UNKNOWN)
    height_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(1500)]
    )
    width_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )
    thickness_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )
    top_width_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )
    base_height_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )
    die_width_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(600)]
    )
    pieces = models.PositiveSmallIntegerField(default=1)
    east_m = models.FloatField(null=True, blank=True)
    north_m = models.FloatField(null=True, blank=True)
    measured_how = models.CharField(max_length=80, blank=True)
    latitude = models.DecimalField(max_digits=9, decimal_places=6, null=True, blank=True)
    longitude = models.DecimalField(max_digits=9, decimal_places=6, null=True, blank=True)
    name_on_stone = models.CharField(max_length=160, blank=True)
    year_on_stone = models.PositiveSmallIntegerField(null=True, blank=True)
    certainty = models.CharField(max_length=10, choices=Certainty, default=Certainty.UNKNOWN)
    notes = models.TextField(blank=True)
    conclusion = models.OneToOneField(
        "workdays.Conclusion",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="in_force_for",
        help_text=_("What is in force; none means not seen."),
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("number", "measured_how", "name_on_stone", "notes")

    class Meta:
        ordering = ["cemetery", "section", "row", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["cemetery", "number"], name="one_stone_a_number")
        ]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("stone", args=[self.pk])


class Survey(models.Model):
    """One look at one stone on one date; never edited, a later look is a new one."""

    class Sound(models.TextChoices):
        UNKNOWN = "unknown", _("not tapped")
        SOLID = "solid", _("solid ring")
        HOLLOW = "hollow", _("hollow")

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="surveys")
    on = models.DateField()
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signs = models.JSONField(default=list, blank=True)
    sound = models.CharField(max_length=8, choices=Sound, default=Sound.UNKNOWN)
    lean_degrees = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(90)]
    )
    lean_direction = models.CharField(max_length=20, blank=True)
    height_above_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(1500)]
    )
    depth_sunk_cm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(300)]
    )
    pieces = models.PositiveSmallIntegerField(null=True, blank=True)
    previous_repair = models.CharField(max_length=250, blank=True)
    notes = models.TextField(blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("signs", "lean_direction", "previous_repair", "notes")

    class Meta:
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["stone", "-on"], name="survey_newest")]

    def __str__(self) -> str:
        return f"survey of {self.stone} on {self.on}"


class Conclusion(models.Model):
    """What the rules conclude from a survey, or a person's recorded word over it."""

    class Kind(models.TextChoices):
        LEAVE_ALONE = "leave_alone", _("leave alone")
        CONSERVATOR = "conservator", _("conservator")
        NEEDS = "needs", _("what it needs")

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="conclusions")
    survey = models.ForeignKey(
        Survey, null=True, blank=True, on_delete=models.PROTECT, related_name="conclusions"
    )
    kind = models.CharField(max_length=12, choices=Kind)
    needs = models.JSONField(default=list, blank=True)
    look_again_on = models.DateField(null=True, blank=True)
    reasons = models.JSONField(default=list, blank=True)
    overridden_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    override_reason = models.CharField(max_length=250, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("needs", "reasons", "override_reason")

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.get_kind_display()
