"""People, who did what, and what was sent: the models that every other package stands on."""

import secrets
import uuid
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager, PermissionsMixin
from django.db import models
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext_lazy as _

from coordinator.personal import Keep


def new_secret() -> str:
    """Return a secret for a standing link: 32 url-safe characters, 192 bits."""
    return secrets.token_urlsafe(24)


def english() -> list[str]:
    """Return the languages of somebody who said nothing about them."""
    return ["en"]


class UserManager(BaseUserManager["User"]):
    """Makes users by e-mail address; nobody has a password, log-in is by mailed code."""

    def create_user(self, email: str, **extra: Any) -> "User":
        """Return a new user with no usable password."""
        user = self.model(email=self.normalize_email(email).lower(), **extra)
        user.set_unusable_password()
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str | None = None, **extra: Any) -> "User":
        """Return a user who may use the repair pages; the password is ignored."""
        return self.create_user(email, is_staff=True, is_superuser=True, **extra)


class User(AbstractBaseUser, PermissionsMixin):
    """Somebody who logs in: an organiser or a supervisor. The e-mail is the name."""

    email = models.EmailField(unique=True)
    is_active = models.BooleanField(default=True)
    is_staff = models.BooleanField(default=False)
    joined_at = models.DateTimeField(auto_now_add=True)
    log_in_mark = models.CharField(max_length=32, blank=True)

    objects = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    PERSONAL: ClassVar[dict[str, Keep]] = {"email": Keep.UNTIL_ERASED}
    PLAIN: ClassVar[tuple[str, ...]] = ("password", "log_in_mark")

    def __str__(self) -> str:
        return self.email

    def _get_session_auth_hash(self, secret: str | None = None) -> str:
        """Return what each session must hold: another mark ends them all."""
        text = self.password + self.log_in_mark
        return salted_hmac("log-in-mark", text, secret=secret, algorithm="sha256").hexdigest()


class Person(models.Model):
    """One human being; may have no log-in and no mailbox, and several may share a mailbox."""

    user = models.OneToOneField(
        User, null=True, blank=True, on_delete=models.SET_NULL, related_name="person"
    )
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True, db_index=True)
    telephone = models.CharField(max_length=40, blank=True)
    emergency_name = models.CharField(max_length=120, blank=True)
    emergency_telephone = models.CharField(max_length=40, blank=True)
    born_on = models.DateField(null=True, blank=True)
    is_adult = models.BooleanField(default=True)
    may_lead = models.BooleanField(default=False)
    is_conservator = models.BooleanField(default=False)
    languages = models.JSONField(default=english)
    secret = models.CharField(max_length=64, unique=True, default=new_secret)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    joined_into = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="joined_from"
    )
    erased_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "name": Keep.UNTIL_ERASED,
        "email": Keep.UNTIL_ERASED,
        "telephone": Keep.UNTIL_ERASED,
        "emergency_name": Keep.UNTIL_ERASED,
        "emergency_telephone": Keep.UNTIL_ERASED,
        "languages": Keep.UNTIL_ERASED,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("secret",)

    class Meta:
        ordering = ["name", "pk"]
        verbose_name_plural = _("people")

    def __str__(self) -> str:
        return self.name

    @property
    def is_provisional(self) -> bool:
        """Return whether the person has not yet answered the first mailed link."""
        return self.confirmed_at is None


class AuditEntry(models.Model):
    """Who did what to which thing, when and why; ids and values only, no names."""

    class ActorKind(models.TextChoices):
        LOGIN = "login", _("a person by log-in")
        LINK = "link", _("a person by link")
        RULE = "rule", _("the service by rule")

    at = models.DateTimeField(auto_now_add=True, db_index=True)
    actor_kind = models.CharField(max_length=8, choices=ActorKind)
    actor = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="acts"
    )
    rule = models.CharField(max_length=60, blank=True)
    verb = models.CharField(max_length=40)
    thing_type = models.CharField(max_length=60)
    thing_id = models.CharField(max_length=40)
    detail = models.JSONField(default=dict)

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("rule", "verb", "thing_type", "thing_id", "detail")

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["thing_type", "thing_id"], name="audit_thing")]
        verbose_name_plural = _("audit entries")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.verb} {self.thing_type} {self.thing_id}"


class SentMessage(models.Model):
    """One message to one mailbox: the row is the truth, the broker only a bell."""

    class State(models.TextChoices):
        QUEUED = "queued", _("queued")
        CLAIMED = "claimed", _("being sent")
        SENT = "sent", _("sent")
        FAILED = "failed", _("not deliverable")

    key = models.CharField(max_length=160, unique=True)
    person = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="messages"
    )
    reason = models.CharField(max_length=60)
    to_address = models.EmailField()
    subject = models.CharField(max_length=250)
    text = models.TextField()
    html = models.TextField(blank=True)
    calendar = models.BinaryField(null=True, blank=True)
    calendar_method = models.CharField(max_length=10, blank=True)
    thread = models.CharField(max_length=80, blank=True, db_index=True)
    message_id = models.CharField(max_length=200, unique=True)
    references = models.TextField(blank=True)
    unsubscribe = models.CharField(
        max_length=250,
        blank=True,
        help_text=_("The address that ends such mail; empty where it comes with a place."),
    )
    state = models.CharField(max_length=8, choices=State, default=State.QUEUED)
    tries = models.PositiveSmallIntegerField(default=0)
    not_before = models.DateTimeField(null=True, blank=True)
    claimed_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    last_error = models.CharField(max_length=250, blank=True)
    queued_at = models.DateTimeField(auto_now_add=True, db_index=True)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "to_address": Keep.WITH_THE_MESSAGE,
        "subject": Keep.WITH_THE_MESSAGE,
        "text": Keep.WITH_THE_MESSAGE,
        "html": Keep.WITH_THE_MESSAGE,
        "calendar": Keep.WITH_THE_MESSAGE,
        "last_error": Keep.WITH_THE_MESSAGE,
        "unsubscribe": Keep.WITH_THE_MESSAGE,
    }
    PLAIN: ClassVar[tuple[str, ...]] = (
        "key",
        "reason",
        "calendar_method",
        "thread",
        "message_id",
        "references",
    )

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["state", "not_before"], name="message_due")]

    def __str__(self) -> str:
        return f"{self.reason} ({self.get_state_display()})"


class Heartbeat(models.Model):
    """The last moment at which timetable, broker and worker were all alive."""

    name = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("name",)

    def __str__(self) -> str:
        return f"{self.name} at {self.at:%Y-%m-%d %H:%M:%S}"


def new_uid() -> uuid.UUID:
    """Return a random identifier for a calendar event (RFC 7986, 5.3: nothing in it tells who)."""
    return uuid.uuid4()
