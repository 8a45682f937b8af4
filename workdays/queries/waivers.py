"""Which waiver is asked at a place, in which languages, and who has signed what holds on a day."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import get_language_info

from coordinator.humans import humans
from workdays.models import Cemetery, Signature, SignUp, Waiver, Workday
from workdays.queries.days import local_date
from workdays.rules import holding


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


def papers_of(row: SignUp) -> "QuerySet[Signature]":
    """Return the papers noted for somebody on a day that were not taken back, newest first."""
    rows = Signature.objects.filter(person=row.person_id, noted_for=row.day_id)
    rows = rows.exclude(role=Signature.Role.MINOR)
    return rows.filter(withdrawn_at__isnull=True).select_related("waiver", "noted_by")


def texts_on_paper(cemetery: Cemetery) -> "QuerySet[Waiver]":
    """Return the texts of a place that a paper may bear, all versions, the newest first."""
    now = current_waiver(cemetery)
    rows = Waiver.objects.filter(published_at__isnull=False)
    place = now.cemetery_id if now else None
    return rows.filter(cemetery=place).order_by("-version", "language")


def people_with_waiver(day: Workday, ids: Iterable[int]) -> frozenset[int]:
    """Return those of these people whose own, or whose guardian's, signature holds on this day."""
    return frozenset(people_with_waiver_by_day({day: ids})[day.pk])


def people_with_waiver_by_day(people: Mapping[Workday, Iterable[int]]) -> dict[int, set[int]]:
    """Return ``people_with_waiver`` of many days by their ids, in three statements.

    A signature counts in whichever language of the version it was given.
    """
    asked = {day: set(ids) for day, ids in people.items()}
    waivers = list(first_texts().defer("text"))
    by_person: dict[int, list[_Row]] = {}
    every = humans(set().union(*asked.values()))
    for row in _confirmed(every.every):
        for person in every.whose(row["person_id"]):
            by_person.setdefault(person, []).append(row)
    found: dict[int, set[int]] = {}
    for day, ids in asked.items():
        waiver = _newest(waivers, day)
        found[day.pk] = {
            pk
            for pk in ids
            if waiver and any(_holds(row, waiver, day) for row in by_person.get(pk, ()))
        }
    return found


_Row = dict[str, Any]


def _confirmed(people: Iterable[int]) -> Iterable[_Row]:
    """Return what people signed and confirmed, without the texts."""
    rows = Signature.objects.filter(person__in=people, confirmed_at__isnull=False)
    found: Iterable[_Row] = rows.values(
        *("person_id", "role", "version", "signed_at", "valid_until", "withdrawn_at"),
        *("person__born_on", "waiver__validity", "waiver__cemetery_id"),
    )
    return found


def _newest(waivers: Iterable[Waiver], day: Workday) -> Waiver | None:
    """Return what ``current_waiver`` gave or gives on a day, from rows read, the newest first."""
    rows = [w for w in waivers if w.published_at and w.published_at < day.ends_at]
    own = next((w for w in rows if w.cemetery_id == day.cemetery_id), None)
    return own or next((w for w in rows if w.cemetery_id is None), None)


def _holds(row: _Row, waiver: Waiver, day: Workday) -> bool:
    if row["waiver__cemetery_id"] != waiver.cemetery_id:
        return False
    zone, age = day.cemetery.zone, day.cemetery.adult_age
    signed = holding.Signed(
        role=row["role"],
        validity=row["waiver__validity"],
        version=row["version"],
        signed_on=row["signed_at"].astimezone(zone).date(),
        valid_until=row["valid_until"],
        withdrawn_at=row["withdrawn_at"],
        born_on=row["person__born_on"],
    )
    asked = holding.AskedDay(local_date(day), day.ends_at, waiver.version, age)
    return holding.holds(signed, asked)
