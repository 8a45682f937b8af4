"""What a new plan changes for whom: their block, lead, work or times."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from workdays.rules.facts import Crew, Plan, PlannedJob


class What(StrEnum):
    """In which way the part of a person in a block changed."""

    PLACED = "placed"
    LEFT_OUT = "left_out"
    LEAD = "lead"
    SUPERVISOR = "supervisor"
    WORK = "work"
    TIMES = "times"


@dataclass(frozen=True, slots=True)
class Part:
    """A person's part in a block: under whom, beside which supervisor, doing what when."""

    block: int
    leader: str
    supervisor: str | None
    jobs: tuple[PlannedJob, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """One person, one block, before and after; None: no part."""

    person: str
    block: int
    before: Part | None
    after: Part | None

    @property
    def what(self) -> frozenset[What]:
        """Return in which ways the two differ."""
        if self.before is None:
            return frozenset({What.PLACED})
        if self.after is None:
            return frozenset({What.LEFT_OUT})
        return _differences(self.before, self.after)


Parts = Mapping[tuple[str, int], Part]


def parts_of(plan: Plan) -> dict[tuple[str, int], Part]:
    """Return every person's part by (person, block)."""
    return {(person, crew.block): _part(crew) for crew in plan.crews for person in crew.members}


def diff(before: Plan, after: Plan) -> tuple[Change, ...]:
    """Return what changes for whom, by person and block; nothing where a part stays as it is."""
    old, new = parts_of(before), parts_of(after)
    return tuple(
        Change(person, block, old.get((person, block)), new.get((person, block)))
        for person, block in sorted(old.keys() | new.keys())
        if old.get((person, block)) != new.get((person, block))
    )


def people_changed(before: Plan, after: Plan) -> frozenset[str]:
    """Return the ids of those for whom anything changes."""
    return frozenset(change.person for change in diff(before, after))


def applied(parts: Parts, changes: Iterable[Change]) -> dict[tuple[str, int], Part]:
    """Return the parts after some changes; what a diff changes gives the parts of its new plan."""
    result = dict(parts)
    for change in changes:
        result.pop((change.person, change.block), None)
        if change.after is not None:
            result[change.person, change.block] = change.after
    return result


def _part(crew: Crew) -> Part:
    jobs = tuple(sorted(crew.jobs, key=lambda job: (job.start, job.end, job.job)))
    return Part(crew.block, crew.leader, crew.supervisor, jobs)


def _differences(before: Part, after: Part) -> frozenset[What]:
    old = {job.job: (job.start, job.end) for job in before.jobs}
    new = {job.job: (job.start, job.end) for job in after.jobs}
    moved = any(old[job] != new[job] for job in old.keys() & new.keys())
    found = {
        What.LEAD: before.leader != after.leader,
        What.SUPERVISOR: before.supervisor != after.supervisor,
        What.WORK: old.keys() != new.keys(),
        What.TIMES: moved,
    }
    return frozenset(what for what, differs in found.items() if differs)
