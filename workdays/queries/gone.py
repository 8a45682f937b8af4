"""Who and what a plan names though the day has changed since: in words, by name."""

from collections.abc import Iterable

from coordinator.models import Person
from workdays.models import Job, SignUp, Workday
from workdays.queries.crews import CrewView
from workdays.queries.plan_keys import job_key, person_key, row_number
from workdays.rules.crew_naming import number_of
from workdays.rules.facts import Violation
from workdays.rules.refusals import Refusal

NOT_COMING = "{name} does not come to this day any more."
NOT_TO_DO = "{label} is not to be done on this day any more."
PLAN_AGAIN = "Plan the rest again."


def refusals_in_words(day: Workday, found: Iterable[Violation]) -> list[Refusal]:
    """Return what is wrong with a plan of a day, each reason once; who is gone is named.

    Two statements where a plan names somebody or something that the day does not have.
    """
    found = list(found)
    gone = _gone_words(day, {key for one in found if one.rule == "unknown" for key in one.about})
    if gone:
        return [Refusal("unknown", " ".join([*gone, PLAN_AGAIN]))]
    return list(dict.fromkeys(Refusal(one.rule, one.sentence) for one in found))


def _gone_words(day: Workday, keys: set[str]) -> list[str]:
    """Return a sentence for each person and job of these that the day does not have."""
    numbers = [row_number(key) for key in keys if key[1:].isdecimal()]
    if not numbers:
        return []
    here = day.sign_ups.filter(state=SignUp.State.COMING, person__in=numbers).values("person")
    people = Person.objects.filter(pk__in=numbers).exclude(pk__in=here).order_by("name", "pk")
    to_do = day.jobs.filter(state=Job.State.OPEN).values("pk")
    jobs = Job.objects.filter(pk__in=numbers).exclude(pk__in=to_do)
    said = [NOT_COMING.format(name=one.name) for one in people if person_key(one.pk) in keys]
    labels = [
        one.label
        for one in jobs.select_related("kind", "section", "stone")
        if job_key(one.pk) in keys
    ]
    return said + [NOT_TO_DO.format(label=label) for label in labels]


def left_since(
    day: Workday, crews: Iterable[CrewView], coming: Iterable[SignUp]
) -> tuple[str, ...]:
    """Return who has a part in crews of a day to come, but no place on it any more."""
    if day.state != Workday.State.OPEN:
        return ()
    here = {row.person_id for row in coming}
    parts: dict[int, str] = {}
    for crew in sorted(crews, key=lambda one: (one.block_number, number_of(one.name))):
        for person in crew.people:
            if person.pk not in here:
                leads = f", who leads {crew.name}," if person == crew.lead else ""
                parts.setdefault(person.pk, NOT_COMING.format(name=f"{person.name}{leads}"))
    return tuple(parts.values())
