"""Who and what goes when somebody is erased, and what must be kept until when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from coordinator.humans import same_human
from coordinator.models import Person
from workdays.models import Membership, Party, Signature, SignUp, Workday
from workdays.queries.keeping import last_day_kept, with_days
from workdays.queries.naming import day_name
from workdays.rules.eligibility import LIVE
from workdays.rules.erasing import Asking, refusals_to_erase
from workdays.rules.refusals import Refusal


@dataclass(frozen=True)
class KeptLine:
    """Somebody whose name is kept under what was signed, until a day."""

    person: Person
    until_on: date


@dataclass(frozen=True)
class Erasing:
    """What erasing one person does: to whom, on which days, to which groups; why not yet."""

    people: Sequence[Person]
    children: Sequence[Person]
    cancelled: Sequence[SignUp]
    groups: Sequence[Party]
    kept: Sequence[KeptLine]
    refusals: Sequence[Refusal]

    @property
    def days(self) -> list[str]:
        """Return the days to come that are cancelled, the next first, each with who."""
        return [f"{day_name(row.day)}: {row.person.name}" for row in self.cancelled]


def erasing_of(person: Person, *, now: datetime) -> Erasing:
    """Return what goes with a person; a fixed number of statements."""
    selves = same_people(person)
    children = wards_of(selves)
    people = [*selves, *children]
    rows = SignUp.objects.filter(Q(person__in=people) | Q(guardian__in=selves), state__in=LIVE)
    rows = rows.select_related("day__cemetery", "person").order_by("day__starts_at", "pk")
    begun = [day_name(r.day) for r in rows if _is_on(r, now) and r.person in people]
    serves = Membership.objects.filter(person__in=people).exists()
    groups = Party.objects.filter(leader__in=selves, is_group=True, day__ends_at__gt=now)
    return Erasing(
        people=people,
        children=children,
        cancelled=[row for row in rows if row.day.starts_at > now],
        groups=list(groups.select_related("day__cemetery").order_by("day__starts_at", "pk")),
        kept=kept_of(people, now=now),
        refusals=refusals_to_erase(Asking(serves, sorted(set(begun)))),
    )


def same_people(person: Person) -> list[Person]:
    """Return one human being as often as they are stored: under one name and one mailbox."""
    same = Q(pk__in=same_human(person))
    if person.email:
        same |= Q(email__iexact=person.email, name__iexact=person.name)
    rows = Person.objects.filter(same, erased_at__isnull=True).order_by("pk")
    return sorted(rows, key=lambda row: row.pk != person.pk)


def wards_of(guardians: Sequence[Person]) -> list[Person]:
    """Return children who came under these guardians and nobody else."""
    others = SignUp.objects.filter(guardian__isnull=False).exclude(guardian__in=guardians)
    wards = Person.objects.filter(
        sign_ups__guardian__in=guardians, is_adult=False, erased_at__isnull=True
    )
    return list(wards.exclude(pk__in=others.values("person")).distinct().order_by("pk"))


def named_and_silent(people: Sequence[Person]) -> "QuerySet[Person]":
    """Return adults whom these people named, who never answered and have no place any more."""
    live = SignUp.objects.filter(state__in=LIVE).values("person")
    named = Person.objects.filter(sign_ups__named_by__in=people, confirmed_at__isnull=True)
    return named.filter(erased_at__isnull=True).exclude(pk__in=live).distinct().order_by("pk")


def kept_of(people: Sequence[Person], *, now: datetime) -> list[KeptLine]:
    """Return whose name must be kept: signed for or by them, and valid once."""
    numbers = {person.pk: person for person in people}
    signed = Signature.objects.filter(Q(person__in=people) | Q(signed_by__in=people))
    until: dict[int, date] = {}
    for row in with_days(signed.filter(confirmed_at__isnull=False)):
        last = last_day_kept(row, begun_by=now)
        for pk in {row.person_id, row.signed_by_id} & numbers.keys():
            until[pk] = max(last, until.get(pk, last))
    return [KeptLine(numbers[pk], until[pk]) for pk in sorted(until)]


def _is_on(row: SignUp, now: datetime) -> bool:
    day_is_on = row.day.state in Workday.COMING and row.day.starts_at <= now < row.day.ends_at
    return day_is_on and row.state == SignUp.State.COMING
