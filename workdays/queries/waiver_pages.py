"""What the pages of texts to sign show: which is signed where, in what languages, by how many."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.conf import settings
from django.db.models import Count, Q

from workdays.models import Cemetery, Signature, Waiver
from workdays.queries.waivers import Language

HOLD = Q(
    signatures__confirmed_at__isnull=False,
    signatures__withdrawn_at__isnull=True,
    signatures__role__in=[Signature.Role.SELF, Signature.Role.GUARDIAN],
)


@dataclass(frozen=True)
class Version:
    """A version: its texts, the first one first; how many signatures hold or held under any."""

    texts: Sequence[Waiver]
    signed: int

    @property
    def first(self) -> Waiver:
        """Return the text that the version was published with."""
        return self.texts[0]

    @property
    def languages(self) -> list[Language]:
        """Return the languages in which it can be signed."""
        return [Language(text.language) for text in self.texts]


@dataclass(frozen=True)
class Texts:
    """The versions for one place, the newest first; ``place`` None: wherever there is no own."""

    place: Cemetery | None
    versions: list[Version]

    @property
    def current(self) -> Version | None:
        """Return the version that is signed now."""
        return self.versions[0] if self.versions else None

    @property
    def lost(self) -> list[Language]:
        """Return the languages of the version before that the one signed now has not."""
        now, before = (*self.versions[:2], None, None)[:2]
        if now is None or before is None:
            return []
        has = {language.code for language in now.languages}
        return [language for language in before.languages if language.code not in has]


def texts(places: Iterable[Cemetery]) -> list[Texts]:
    """Return the general versions, then those of each of these places that has its own."""
    rows = (
        Waiver.objects.filter(published_at__isnull=False)
        .filter(Q(cemetery__isnull=True) | Q(cemetery__in=list(places)))
        .select_related("cemetery")
        .annotate(signed=Count("signatures", filter=HOLD))
        .order_by("cemetery__name", "-version", "pk")
    )
    by_version: dict[tuple[int | None, int], list[Waiver]] = {}
    for row in rows:
        by_version.setdefault((row.cemetery_id, row.version), []).append(row)
    by_place: dict[int | None, Texts] = {None: Texts(None, [])}
    for (place, _number), found in by_version.items():
        shown = by_place.setdefault(place, Texts(found[0].cemetery, []))
        signed = sum(vars(row)["signed"] for row in found)
        shown.versions.append(Version(sorted(found, key=_first_first), signed))
    return list(by_place.values())


def _first_first(row: Waiver) -> tuple[bool, str]:
    return row.translates_id is not None, row.language


def heading(found: list[Texts]) -> str:
    """Return the sentence over the list."""
    general = found[0].current
    own = len(found) - 1
    if general is None:
        return "Nobody can sign up: no text to sign is published"
    words = f"Everybody signs version {general.first.version}"
    if not own:
        return words
    return f"{words}, but at {own} {'place' if own == 1 else 'places'} a text of its own"


def siblings(row: Waiver) -> list[Waiver]:
    """Return all texts of the version of one of them, the first one first."""
    first = row.translates_id or row.pk
    found = Waiver.objects.filter(Q(pk=first) | Q(translates=first))
    return sorted(found, key=_first_first)


def languages_to_add(row: Waiver) -> list[Language]:
    """Return the languages spoken here that a version has not."""
    has = {text.language for text in siblings(row)}
    return [Language(code) for code in settings.LANGUAGES_SPOKEN if code not in has]
