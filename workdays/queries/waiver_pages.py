"""What the pages of texts to sign show: which is signed where, and how many have."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Q

from workdays.models import Cemetery, Signature, Waiver

HOLD = Q(
    signatures__confirmed_at__isnull=False,
    signatures__withdrawn_at__isnull=True,
    signatures__role__in=[Signature.Role.SELF, Signature.Role.GUARDIAN],
)


@dataclass(frozen=True)
class Texts:
    """The versions for one place, the newest first; ``place`` None: wherever there is no own."""

    place: Cemetery | None
    versions: list[Waiver]

    @property
    def current(self) -> Waiver | None:
        """Return the version that is signed now."""
        return self.versions[0] if self.versions else None


def texts(places: Iterable[Cemetery]) -> list[Texts]:
    """Return the general versions, then those of each of these places that has its own.

    Each version has ``signed``: how many signatures under it hold or held, not withdrawn.
    """
    rows = (
        Waiver.objects.filter(published_at__isnull=False)
        .filter(Q(cemetery__isnull=True) | Q(cemetery__in=list(places)))
        .select_related("cemetery")
        .annotate(signed=Count("signatures", filter=HOLD))
        .order_by("cemetery__name", "-version", "pk")
    )
    by_place: dict[int | None, Texts] = {None: Texts(None, [])}
    for row in rows:
        by_place.setdefault(row.cemetery_id, Texts(row.cemetery, [])).versions.append(row)
    return list(by_place.values())


def heading(found: list[Texts]) -> str:
    """Return the sentence over the list."""
    general = found[0].current
    own = len(found) - 1
    if general is None:
        return "Nobody can sign up: no text to sign is published"
    words = f"Everybody signs version {general.version}"
    if not own:
        return words
    return f"{words}, but at {own} {'place' if own == 1 else 'places'} a text of its own"
