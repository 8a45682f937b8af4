"""Which waiver is asked at a place, in which languages, and who has signed what holds on a day."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q, QuerySet
from django.utils.translation import get_language_info

from workdays.models import Cemetery, Signature, Waiver, Workday
from workdays.queries.days import local_date


def first_texts() -> "QuerySet[Waiver]":
    """Return the published versions, each as the text it was published with, the newest first."""
    published = Waiver.objects.filter(published_at__isnull=False, translates__isnull=True)
    return published.order_by("-version")


def current_waiver(cemetery: Cemetery | None) -> Waiver | None:
    """Return the newest published waiver: the cemetery's own if it has one, else the general.

    None: the general one. It is the version's first text; ``texts_to_sign`` has the others.
    """
    own = first_texts().filter(cemetery=cemetery).first()
    return own or first_texts().filter(cemetery__isnull=True).first()


def texts_to_sign(cemetery: Cemetery | None) -> list[Waiver]:
    """Return the texts of the version that is signed now, the first one first; empty: none is."""
    first = current_waiver(cemetery)
    return [first, *first.translations.order_by("language")] if first else []


def text_with(texts: Iterable[Waiver], sha256: str) -> Waiver | None:
    """Return that of some texts which has this hash: the one that a reader had before them."""
    return next((text for text in texts if text.text_sha256 == sha256), None)


@dataclass(frozen=True)
class Language:
    """A language in which a text can be read, named as those who speak it name it."""

    code: str
    is_shown: bool = False

    @property
    def name(self) -> str:
        """Return its name in itself; the code where none is known."""
        return str(_info(self.code).get("name_local", self.code)).capitalize()

    @property
    def direction(self) -> str:
        """Return which way it is written, as pages say it."""
        return "rtl" if _info(self.code).get("bidi") else "ltr"


def _info(code: str) -> dict[str, Any]:
    try:
        return dict(get_language_info(code))
    except KeyError:
        return {}


@dataclass(frozen=True)
class ToSign:
    """The text before a reader, and the languages of its version to choose from."""

    waiver: Waiver
    languages: Sequence[Language]


def to_sign(
    cemetery: Cemetery | None, *, sha256: str = "", read_in: str = "", language: str = ""
) -> ToSign | None:
    """Return the text to show: in the language pressed, else the one of the hash that a form
    brought back, else in the language that the address names, else the first; None: nothing.
    """
    texts = texts_to_sign(cemetery)
    if not texts:
        return None
    by_language = {text.language: text for text in texts}
    wanted = (by_language.get(read_in), text_with(texts, sha256), by_language.get(language))
    waiver = next((text for text in wanted if text), texts[0])
    return ToSign(waiver, [Language(text.language, text == waiver) for text in texts])


def valid_signatures(day: Workday) -> "QuerySet[Signature]":
    """Return the confirmed signatures, not withdrawn, that hold on this day at this cemetery.

    One that holds "until a new version" counts for the current version only, in whichever of its
    languages. That a minor agreed to the rules is no waiver.
    """
    waiver = current_waiver(day.cemetery)
    if waiver is None:
        return Signature.objects.none()
    holds = Q(waiver__validity=Waiver.Validity.NEW_VERSION, version=waiver.version) | (
        ~Q(waiver__validity=Waiver.Validity.NEW_VERSION)
        & (Q(valid_until__isnull=True) | Q(valid_until__gte=local_date(day)))
    )
    return Signature.objects.exclude(role=Signature.Role.MINOR).filter(
        holds,
        waiver__cemetery=waiver.cemetery_id,
        confirmed_at__isnull=False,
        withdrawn_at__isnull=True,
    )


def people_with_waiver(day: Workday, ids: Iterable[int]) -> frozenset[int]:
    """Return those of these people whose own, or whose guardian's, signature holds on this day."""
    signed = valid_signatures(day).filter(person__in=list(ids))
    return frozenset(signed.values_list("person_id", flat=True))


def _newest(waivers: Iterable[Waiver], cemetery_id: int) -> Waiver | None:
    """Return what ``current_waiver`` gives, from rows read already, the newest first."""
    rows = list(waivers)
    own = next((w for w in rows if w.cemetery_id == cemetery_id), None)
    return own or next((w for w in rows if w.cemetery_id is None), None)


def _holds(signature: Signature, waiver: Waiver, on: date) -> bool:
    """Return whether ``valid_signatures`` would give this row for a day on that date."""
    if signature.waiver.cemetery_id != waiver.cemetery_id:
        return False
    if signature.waiver.validity == Waiver.Validity.NEW_VERSION:
        return signature.version == waiver.version
    return signature.valid_until is None or signature.valid_until >= on


def people_with_waiver_by_day(people: Mapping[Workday, Iterable[int]]) -> dict[int, set[int]]:
    """Return ``people_with_waiver`` of many days by their ids, in two statements."""
    asked = {day: set(ids) for day, ids in people.items()}
    waivers = list(first_texts())
    signatures = (
        Signature.objects.exclude(role=Signature.Role.MINOR)
        .filter(
            person__in=set().union(*asked.values()),
            confirmed_at__isnull=False,
            withdrawn_at__isnull=True,
        )
        .select_related("waiver")
    )
    by_person: dict[int, list[Signature]] = {}
    for row in signatures:
        by_person.setdefault(row.person_id, []).append(row)
    found: dict[int, set[int]] = {}
    for day, ids in asked.items():
        waiver, on = _newest(waivers, day.cemetery_id), local_date(day)
        found[day.pk] = {
            person
            for person in ids
            if waiver and any(_holds(row, waiver, on) for row in by_person.get(person, ()))
        }
    return found
