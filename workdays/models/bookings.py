"""Hosts who ask for a clinic, and what they asked for."""

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person, new_secret
from coordinator.personal import Keep
from training.models import Skill
from workdays.models.days import Workday
from workdays.models.ground import Cemetery


class Host(models.Model):
    """A society, church, township or school that books a clinic; acts through mailed links."""

    name = models.CharField(max_length=120)
    contact_name = models.CharField(max_length=120)
    email = models.EmailField()
    telephone = models.CharField(max_length=40, blank=True)
    secret = models.CharField(max_length=64, unique=True, default=new_secret)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "contact_name": Keep.UNTIL_ERASED,
        "email": Keep.UNTIL_ERASED,
        "telephone": Keep.UNTIL_ERASED,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("name", "secret")

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Booking(models.Model):
    """A host's request for a clinic, up to the agreed date."""

    class State(models.TextChoices):
        ASKED = "asked", _("asked for")
        ACCEPTED = "accepted", _("accepted")
        REFUSED = "refused", _("refused")
        WITHDRAWN = "withdrawn", _("withdrawn")

    host = models.ForeignKey(Host, on_delete=models.PROTECT, related_name="bookings")
    cemetery = models.ForeignKey(
        Cemetery, null=True, blank=True, on_delete=models.PROTECT, related_name="bookings"
    )
    place = models.CharField(max_length=160, blank=True)
    skill = models.ForeignKey(Skill, on_delete=models.PROTECT)
    wished_on = models.DateField()
    or_on = models.DateField(null=True, blank=True)
    people = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(2), MaxValueValidator(100)]
    )
    words = models.TextField(blank=True)
    state = models.CharField(max_length=10, choices=State, default=State.ASKED)
    day = models.OneToOneField(
        Workday, null=True, blank=True, on_delete=models.SET_NULL, related_name="booking"
    )
    answer = models.CharField(max_length=500, blank=True)
    answered_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    answered_at = models.DateTimeField(null=True, blank=True)
    asked_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {"words": Keep.UNTIL_ERASED, "answer": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ("place",)

    class Meta:
        ordering = ["asked_at", "pk"]

    def __str__(self) -> str:
        return f"{self.host} for {self.wished_on}"


class Membership(models.Model):
    """Opens pages to somebody who logs in; says nothing about what they can do with a stone."""

    class Role(models.TextChoices):
        ORGANISER = "organiser", _("organiser")
        SUPERVISOR = "supervisor", _("supervisor")

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    cemetery = models.ForeignKey(
        Cemetery,
        null=True,
        blank=True,
        on_delete=models.CASCADE,
        related_name="memberships",
        help_text=_("None: the whole programme."),
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "role", "cemetery"], name="one_membership"),
            models.UniqueConstraint(
                fields=["person", "role"],
                condition=models.Q(cemetery__isnull=True),
                name="one_membership_of_all",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_role_display()}"
