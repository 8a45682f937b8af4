"""The difference between two plans of a day in words: per crew and person, each change once."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from workdays.rules.counting import joined
from workdays.rules.crew_naming import Names, number_of
from workdays.rules.facts import Crew, Plan, PlannedJob

Placed = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Called:
    """What everybody and everything is called.

    ``crews`` and ``crews_before`` by block and leader; ``clock`` by quarter hour; ``gone``: who
    is not there any more.
    """

    people: Mapping[str, str]
    jobs: Mapping[str, str]
    blocks: tuple[str, ...]
    crews: Names
    crews_before: Names
    clock: Mapping[int, str]
    gone: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence about a block: ``placed`` whose placement changed, ``people`` whom it concerns.

    ``jobs`` are those that it is about.
    """

    block: int
    sentence: str
    people: frozenset[str]
    placed: tuple[Placed, ...] = ()
    jobs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Lines:
    """Sentences that hold for the same stretches of the day."""

    when: str
    sentences: tuple[str, ...]


def difference(before: Plan, after: Plan, called: Called) -> list[Said]:
    """Return what changes, block by block and crew by crew; nothing where nothing does."""
    return [
        said
        for block in range(len(called.blocks))
        for said in _Block(before, after, called, block).said()
    ]


def own(found: Iterable[Said], person: str) -> list[Said]:
    """Return what concerns one person."""
    return [said for said in found if person in said.people]


def as_lines(found: Iterable[Said], called: Called) -> list[Lines]:
    """Return the sentences under the stretches that they hold for, each once, then who stays."""
    blocks: dict[str, list[str]] = {}
    found = list(found)
    for said in found:
        where = blocks.setdefault(said.sentence, [])
        if called.blocks[said.block] not in where:
            where.append(called.blocks[said.block])
    lines: dict[str, list[str]] = {}
    for sentence, where in blocks.items():
        lines.setdefault(joined(where).capitalize(), []).append(sentence)
    ended = [Lines("", (nobody_else(found),))] if found else []
    return [*(Lines(when, tuple(said)) for when, said in lines.items()), *ended]


def nobody_else(found: Iterable[Said]) -> str:
    """Return the sentence that ends a list of changes."""
    return "Nobody else moves." if any(said.placed for said in found) else "Nobody moves."


class _Block:
    """One block of two plans, crews known by their names."""

    def __init__(self, before: Plan, after: Plan, called: Called, block: int) -> None:
        self.called, self.block = called, block
        self.old = _by_name(before, called.crews_before, block)
        self.new = _by_name(after, called.crews, block)
        self.was = {key: name for name, crew in self.old.items() for key in crew.members}
        self.now = {key: name for name, crew in self.new.items() for key in crew.members}
        self.done = {task.job for crew in after.crews for task in crew.jobs}
        self.did = {task.job for crew in before.crews for task in crew.jobs}
        self.had = _where(before, called.crews_before)

    def said(self) -> Iterator[Said]:
        for name in sorted(self.old.keys() | self.new.keys(), key=number_of):
            old, new = self.old.get(name), self.new.get(name)
            if new:
                yield from self._lead(name, old, new)
                yield from self._joined(name, new)
            if old and not new:
                yield self._ended(name, old)
            if old:
                yield from self._left(name, old)
            if new:
                yield from self._work(name, old, new)
        yield from self._dropped()

    def _lead(self, name: str, old: Crew | None, new: Crew) -> Iterator[Said]:
        lead, everybody = self._person(new.leader), frozenset(new.members)
        if old is None:
            yield Said(self.block, f"{name} is new; {lead} leads it.", everybody)
        elif old.leader != new.leader and old.leader in self.called.gone:
            said = f"{name} has lost its lead; {lead} leads it now."
            yield Said(self.block, said, everybody)
        elif old.leader != new.leader:
            said = f"{lead} leads {name} now, instead of {self._person(old.leader)}."
            yield Said(self.block, said, everybody)
        if new.supervisor and (old is None or old.supervisor != new.supervisor):
            said = f"{self._person(new.supervisor)} supervises {name}."
            yield Said(self.block, said, everybody | {new.supervisor})

    def _ended(self, name: str, old: Crew) -> Said:
        lost = old.leader in self.called.gone
        said = f"{name} has lost its lead and ends." if lost else f"{name} ends."
        return Said(self.block, said, frozenset(old.members) - self.called.gone)

    def _joined(self, name: str, new: Crew) -> Iterator[Said]:
        for key in self._sorted(new.members):
            if self.was.get(key) != name:
                came = f" from {self.was[key]}" if key in self.was else ""
                said = f"{name}: {self._person(key)} joins{came}."
                yield Said(self.block, said, frozenset({key}), ((key, self.block),))

    def _left(self, name: str, old: Crew) -> Iterator[Said]:
        for key in self._sorted(old.members):
            if key not in self.now:
                gone = key in self.called.gone
                why = "is not there" if gone else "is in no crew now"
                said = f"{name}: {self._person(key)} {why}."
                yield Said(self.block, said, frozenset({key}), ((key, self.block),))

    def _work(self, name: str, old: Crew | None, new: Crew) -> Iterator[Said]:
        here = {task.job: task for task in old.jobs} if old else {}
        everybody, later = frozenset(new.members), []
        for task in sorted(new.jobs, key=lambda one: (one.start, one.job)):
            if task.job not in here:
                yield Said(self.block, self._taken(name, task), everybody, jobs=(task.job,))
            elif (task.start, task.end) != (here[task.job].start, here[task.job].end):
                later.append(task)
        if later:
            words = joined([f"{self._job(task.job)} {self._times(task)}" for task in later])
            said = f"{name} works at other times: {words}."
            yield Said(self.block, said, everybody, jobs=tuple(task.job for task in later))

    def _taken(self, name: str, task: PlannedJob) -> str:
        what = f"{self._job(task.job)}, {self._times(task)}"
        if task.job not in self.did:
            return f"{name} takes on {what}."
        block, before = self.had[task.job]
        if before != name:
            return f"{name} takes on {what}, from {before}."
        return f"{name} does {what}, not in the {self.called.blocks[block].lower()}."

    def _dropped(self) -> Iterator[Said]:
        for name in sorted(self.old, key=number_of):
            for task in sorted(self.old[name].jobs, key=lambda one: (one.start, one.job)):
                if task.job not in self.done:
                    said = f"{self._job(task.job)} waits for another day."
                    there = frozenset(self.old[name].members) - self.called.gone
                    yield Said(self.block, said, there, jobs=(task.job,))

    def _sorted(self, keys: Iterable[str]) -> list[str]:
        return sorted(set(keys), key=lambda key: (self._person(key), key))

    def _person(self, key: str) -> str:
        return self.called.people.get(key, key)

    def _job(self, key: str) -> str:
        return self.called.jobs.get(key, key)

    def _times(self, task: PlannedJob) -> str:
        clock = self.called.clock
        start, end = (clock.get(slot, str(slot)) for slot in (task.start, task.end))
        return f"{start} to {end}"


def _by_name(plan: Plan, names: Names, block: int) -> dict[str, Crew]:
    crews = [crew for crew in plan.crews if crew.block == block]
    return {names[block, crew.leader]: crew for crew in crews}


def _where(plan: Plan, names: Names) -> dict[str, tuple[int, str]]:
    return {
        task.job: (crew.block, names[crew.block, crew.leader])
        for crew in plan.crews
        for task in crew.jobs
    }
