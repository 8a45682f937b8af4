"""Loose pieces: fragments found away from their stone, until a person says where they belong."""

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from coordinator.personal import Keep
from workdays.models.ground import Cemetery, Section, Stone

CM = [MinValueValidator(0.1), MaxValueValidator(600)]


class LoosePiece(models.Model):
    """A fragment with its tag; ``stone`` is set when a person confirmed where it belongs."""

    cemetery = models.ForeignKey(Cemetery, on_delete=models.PROTECT, related_name="pieces")
    section = models.ForeignKey(
        Section, null=True, blank=True, on_delete=models.PROTECT, related_name="pieces"
    )
    tag = models.CharField(max_length=40)
    found_on = models.DateField()
    found_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    place = models.CharField(max_length=250, help_text=_("Where it lay, and where it is kept."))
    east_m = models.FloatField(null=True, blank=True)
    north_m = models.FloatField(null=True, blank=True)
    material = models.CharField(
        max_length=12, choices=Stone.Material, default=Stone.Material.UNKNOWN
    )
    thickness_cm = models.FloatField(null=True, blank=True, validators=CM)
    width_cm = models.FloatField(null=True, blank=True, validators=CM)
    height_cm = models.FloatField(null=True, blank=True, validators=CM)
    edges = models.CharField(
        max_length=160, blank=True, help_text=_("Which edges are finished and which are broken.")
    )
    letters = models.CharField(max_length=250, blank=True)
    notes = models.TextField(blank=True)
    stone = models.ForeignKey(
        Stone, null=True, blank=True, on_delete=models.PROTECT, related_name="loose_pieces"
    )

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("tag", "place", "edges", "letters", "notes")

    class Meta:
        ordering = ["cemetery", "-found_on", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["cemetery", "tag"], name="one_loose_piece_a_tag")
        ]

    def __str__(self) -> str:
        return self.tag


class FitJudgement(models.Model):
    """A person's word on whether a piece belongs to a stone; a refused pair is not asked again."""

    piece = models.ForeignKey(LoosePiece, on_delete=models.CASCADE, related_name="judgements")
    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="judgements")
    fits = models.BooleanField()
    why = models.CharField(max_length=250, blank=True)
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()

    PERSONAL: ClassVar[dict[str, Keep]] = {}
    PLAIN: ClassVar[tuple[str, ...]] = ("why",)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["piece", "stone"], name="one_word_a_piece_and_stone")
        ]

    def __str__(self) -> str:
        return f"{self.piece} {'belongs' if self.fits else 'does not belong'} to {self.stone}"
