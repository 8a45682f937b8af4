"""What a plan changes against the published one, in words, and what its crews are called."""

from collections.abc import Iterable
from dataclasses import dataclass

from coordinator.models import Person
from workdays.models import CrewPlan, Job, Workday
from workdays.queries.plan_keys import job_key, moment_of, person_key, row_number
from workdays.queries.plans import names_in, plan_of, published_plan
from workdays.rules.crew_naming import Names, crew_names
from workdays.rules.crew_people import still_there
from workdays.rules.facts import DayFacts, Plan
from workdays.rules.plan_difference import Called, Said, as_lines, difference
from workdays.rules.rest import rest_of, without_the_past
from workdays.rules.wall_clock import hour


@dataclass(frozen=True)
class Against:
    """A plan beside the published one: the names of its crews, and what changes."""

    names: Names
    said: tuple[Said, ...] = ()
    called: Called | None = None

    @property
    def lines(self) -> list[list[object]]:
        """Return the sentences as they are kept with a plan: [when, sentences] pairs."""
        if self.called is None:
            return []
        return [[line.when, list(line.sentences)] for line in as_lines(self.said, self.called)]


def against_published(day: Workday, plan: Plan, facts: DayFacts) -> Against:
    """Return what a plan changes against the one in force; names only where there is none."""
    row = published_plan(day)
    return against(row, plan, facts) if row else Against(crew_names(plan))


def against(row: CrewPlan, plan: Plan, facts: DayFacts) -> Against:
    """Return what a plan changes against a stored one, in what is left of the day."""
    before, named = plan_of(row), names_in(row)
    if facts.now is not None:
        before = without_the_past(facts, rest_of(before, facts.now))
    names = crew_names(plan, before, named)
    called = _called(row.day, facts, (before, plan), names, named)
    return Against(names, tuple(difference(before, plan, called)), called)


def _called(
    day: Workday, facts: DayFacts, plans: tuple[Plan, Plan], names: Names, named: Names
) -> Called:
    crews = [crew for plan in plans for crew in plan.crews]
    tasks = [task for crew in crews for task in crew.jobs]
    people = {key for crew in crews for key in (*crew.members, crew.supervisor) if key}
    zone = day.cemetery.zone
    slots = {slot for task in tasks for slot in (task.start, task.end)}
    return Called(
        people=_people(people, facts),
        jobs=_jobs({task.job for task in tasks}, facts),
        blocks=tuple(block.name for block in facts.blocks),
        crews=names,
        crews_before=named,
        clock={slot: hour(moment_of(day, slot).astimezone(zone)) for slot in slots},
        gone=frozenset(key for key in people if not _still_comes(facts, key)),
    )


def _still_comes(facts: DayFacts, key: str) -> bool:
    return any(still_there(facts, key, block) for block in _to_come(facts))


def _to_come(facts: DayFacts) -> Iterable[int]:
    now = facts.now or 0
    return (number for number, block in enumerate(facts.blocks) if block.end > now)


def _people(keys: set[str], facts: DayFacts) -> dict[str, str]:
    """Return names; those who do not come any more are asked for."""
    known = {key: facts.person[key].label for key in keys if key in facts.person}
    away = {row_number(key) for key in keys - known.keys()}
    rows = Person.objects.filter(pk__in=away) if away else ()
    return known | {person_key(row.pk): row.name for row in rows}


def _jobs(keys: set[str], facts: DayFacts) -> dict[str, str]:
    known = {key: facts.job[key].label for key in keys if key in facts.job}
    away = {row_number(key) for key in keys - known.keys()}
    rows = (
        Job.objects.filter(pk__in=away).select_related("kind", "section", "stone") if away else ()
    )
    return known | {job_key(row.pk): row.label for row in rows}
