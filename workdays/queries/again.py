"""Who stands behind a mailbox, told so that only its reader knows whom a line means."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Max, Q, QuerySet
from django.db.models.functions import Coalesce

from coordinator import links
from coordinator.humans import humans
from coordinator.models import Person
from workdays.models import SignUp, Workday
from workdays.queries import naming
from workdays.rules.eligibility import LIVE
from workdays.rules.initials import initials


@dataclass(frozen=True)
class OwnLink:
    """One person of a mailbox: first letters, the last day they signed up for, where to go."""

    who: str
    last_day: str
    href: str


def people_of(mailbox: str) -> "QuerySet[Person]":
    """Return the people who answered a link mailed to this box, oldest first."""
    answered = Person.objects.filter(
        email=mailbox, confirmed_at__isnull=False, erased_at__isnull=True
    )
    kept = answered.values_list(Coalesce("joined_into", "pk"), flat=True)
    return Person.objects.filter(pk__in=kept, erased_at__isnull=True).order_by("pk")


def own_links(people: Sequence[Person], day: Workday | None) -> list[OwnLink]:
    """Return a line for each: to signing up for ``day``, or to the own page where that is done."""
    asked = humans(person.pk for person in people)
    live = SignUp.objects.filter(day=day, person__in=asked.every, state__in=LIVE)
    on_it = {pk for row in live.values_list("person_id", flat=True) for pk in asked.whose(row)}
    last = _last_days(people)
    return [
        OwnLink(
            who=initials(person.name),
            last_day=last.get(person.pk, ""),
            href=links.absolute("own_page", person.secret)
            if day is None or person.pk in on_it
            else links.absolute("own_join", person.secret, day.pk),
        )
        for person in people
    ]


def _last_days(people: Sequence[Person]) -> dict[int, str]:
    came = Q(sign_ups__state=SignUp.State.COMING)
    newest = Person.objects.filter(pk__in=[person.pk for person in people])
    pairs = newest.annotate(last=Max("sign_ups__day", filter=came)).values_list("pk", "last")
    numbers = {pk: last for pk, last in pairs if last}
    days = Workday.objects.select_related("cemetery").in_bulk(numbers.values())
    return {pk: naming.day_name(days[number]) for pk, number in numbers.items()}
