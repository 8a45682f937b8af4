"""People as the staff sees them: who they are, what they hold, what they did."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet
from django.db.models.functions import Coalesce

from coordinator.humans import same_human
from coordinator.models import Person
from training.models import HoursEntry, SignOff
from training.queries import standing_of, waiting_for_countersign, with_last_word
from training.rules.standing import Level
from workdays.access import Viewer
from workdays.models import Cemetery, Signature, SignUp


def people_seen_by(who: Viewer) -> "QuerySet[Person]":
    """Return the people whose page a viewer may open.

    An organiser of the whole programme sees everybody; others those who signed up at a cemetery
    of theirs.
    """
    everybody = Person.objects.filter(erased_at__isnull=True, joined_into__isnull=True)
    if who.everywhere:
        return everybody
    return everybody.filter(pk__in=_came_to(who.seen()))


def people_organised_by(who: Viewer) -> "QuerySet[Person]":
    """Return the people of the places that a viewer organises, each by the row that is kept."""
    everybody = Person.objects.filter(erased_at__isnull=True, joined_into__isnull=True)
    return everybody if who.everywhere else everybody.filter(pk__in=_came_to(who.organised()))


def _came_to(places: "QuerySet[Cemetery]") -> "QuerySet[SignUp, int]":
    """Return who signed up at these places, by the number of the row that is kept."""
    days = SignUp.objects.filter(day__cemetery__in=places).order_by()
    return days.values_list(Coalesce("person__joined_into", "person"), flat=True)


def kept_number(pk: int) -> int:
    """Return the row by which somebody is known, for the number of any row of theirs."""
    joined = Person.objects.filter(pk=pk).values_list("joined_into", flat=True).first()
    return joined or pk


@dataclass(frozen=True)
class PersonLine:
    """One line of the list of people: levels above new, as words."""

    person: Person
    levels: str


def lines(people: list[Person], cemetery: Cemetery | None, on: date) -> list[PersonLine]:
    """Return people with their levels at a cemetery, in a fixed number of statements."""
    number = cemetery.pk if cemetery else 0
    levels = standing_of([p.pk for p in people], cemetery_number=number, on=on)
    return [PersonLine(person, _words(levels[person.pk])) for person in people]


def _words(levels: dict[str, Level]) -> str:
    held = [f"{skill}: {level.word}" for skill, level in levels.items() if level > Level.NEW]
    return ", ".join(held)


def entries_for(who: Viewer) -> "QuerySet[HoursEntry]":
    """Return the hours entries that wait for a word at the cemeteries of a viewer."""
    entries = waiting_for_countersign()
    return entries.filter(cemetery_number__in=who.seen().values("pk"))


def history_of(person: Person) -> list[HoursEntry]:
    """Return the hours of a person with the last word on each, newest first."""
    return list(
        with_last_word(HoursEntry.objects.filter(person__in=same_human(person))).order_by(
            "-on", "-pk"
        )[:100]
    )


def sign_offs_of(person: Person) -> "QuerySet[SignOff]":
    """Return the sign-offs of a person, newest first, ended ones too."""
    rows = SignOff.objects.filter(person__in=same_human(person))
    return rows.select_related("skill", "by", "revocation").order_by("-on", "-pk")


def signatures_of(person: Person, who: Viewer) -> "QuerySet[Signature]":
    """Return what was signed for a person where the viewer organises, also what was taken back."""
    seen = Q(waiver__cemetery__isnull=True) | Q(waiver__cemetery__in=who.organised())
    return Signature.objects.filter(seen, person__in=same_human(person)).select_related("waiver")
