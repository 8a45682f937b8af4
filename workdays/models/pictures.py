"""Pictures of stones and loose pieces, in three sizes, without what the camera wrote into them."""

from typing import TYPE_CHECKING, ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.ground import Cemetery, Stone, Survey

if TYPE_CHECKING:
    from workdays.models.pieces import LoosePiece


class Photograph(models.Model):
    """A picture taken in place. ``file`` is the largest of the three sizes that are kept."""

    class Moment(models.TextChoices):
        BEFORE = "before", _("before work")
        AFTER = "after", _("after work")
        OTHER = "other", _("as it stands")

    stone = models.ForeignKey(
        Stone, null=True, blank=True, on_delete=models.PROTECT, related_name="photographs"
    )
    piece = models.ForeignKey(
        "workdays.LoosePiece",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="photographs",
    )
    survey = models.ForeignKey(
        Survey, null=True, blank=True, on_delete=models.SET_NULL, related_name="photographs"
    )
    moment = models.CharField(max_length=8, choices=Moment, default=Moment.OTHER)
    before = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="after",
        help_text=_("The picture from before work that this one makes a pair with."),
    )
    file = models.FileField(upload_to="private/photographs/")
    medium = models.FileField(upload_to="private/photographs/", blank=True)
    small = models.FileField(upload_to="private/photographs/", blank=True)
    width_px = models.PositiveIntegerField(null=True, blank=True)
    height_px = models.PositiveIntegerField(null=True, blank=True)
    taken_on = models.DateField()
    taken_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    caption = models.CharField(max_length=160, blank=True)
    shows_people = models.BooleanField(default=False)
    in_gallery = models.BooleanField(default=False)

    PERSONAL: ClassVar[dict[str, Keep]] = {
        "file": Keep.UNTIL_ERASED,
        "medium": Keep.UNTIL_ERASED,
        "small": Keep.UNTIL_ERASED,
    }
    PLAIN: ClassVar[tuple[str, ...]] = ("caption",)

    class Meta:
        ordering = ["taken_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(stone__isnull=False) | models.Q(piece__isnull=False),
                name="picture_of_a_stone_or_a_piece",
            )
        ]

    def __str__(self) -> str:
        return f"{self.stone or self.piece} on {self.taken_on}"

    @property
    def place(self) -> "Stone | LoosePiece":
        """Return what the picture shows."""
        place = self.stone or self.piece
        assert place is not None  # noqa: S101  # the database holds it to one of the two
        return place

    @property
    def cemetery(self) -> Cemetery:
        """Return where the picture was taken."""
        return self.place.cemetery
