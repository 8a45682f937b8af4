"""A plan under search: teams put in and taken out again, with the points kept up to date."""

from dataclasses import dataclass

from workdays.planner.index import Ground, ones
from workdays.rules.facts import Crew, Plan, PlannedJob


@dataclass(slots=True, eq=False)
class Team:
    """A finished crew of the search; never changed once made.

    `mask` and `sections` are bits; `supervisor` is -1 where none is needed.
    """

    b: int
    leader: int
    mask: int
    people: list[int]
    jobs: list[int]
    starts: list[int]
    sections: int
    supervisor: int
    trainees: int
    kit: dict[int, int]
    gain: int


class State:
    """Teams by block and leader, and all that follows from them."""

    def __init__(self, ground: Ground) -> None:
        people, blocks = len(ground.people), range(len(ground.blocks))
        self.ground = ground
        self.total = 0
        self.team: list[dict[int, Team]] = [{} for _ in blocks]
        self.at = [[-1] * people for _ in blocks]
        self.free = [block.there for block in ground.blocks]
        self.done: list[Team | None] = [None] * len(ground.jobs)
        self.kit_left = [list(ground.kit_there) for _ in blocks]
        self.supervises = [[0] * people for _ in blocks]
        self.trains = [[0] * people for _ in blocks]
        self.party = [[{} for _ in range(ground.parties)] for _ in blocks]  # type: list[list[dict[int, int]]]

    def put(self, team: Team) -> None:
        """Add a team; the caller has made sure that it fits."""
        b = team.b
        self.team[b][team.leader] = team
        self.free[b] &= ~team.mask
        for j in team.jobs:
            self.done[j] = team
        left = self.kit_left[b]
        for kit, count in team.kit.items():
            left[kit] -= count
        if team.supervisor >= 0:
            self.supervises[b][team.supervisor] += 1
            self.trains[b][team.supervisor] += team.trainees
        self.total += team.gain - self._enter(team)

    def take(self, team: Team) -> None:
        """Remove a team that is in."""
        b = team.b
        del self.team[b][team.leader]
        self.free[b] |= team.mask
        for j in team.jobs:
            self.done[j] = None
        left = self.kit_left[b]
        for kit, count in team.kit.items():
            left[kit] += count
        if team.supervisor >= 0:
            self.supervises[b][team.supervisor] -= 1
            self.trains[b][team.supervisor] -= team.trainees
        self.total += self._leave(team) - team.gain

    def _enter(self, team: Team) -> int:
        """Mark the people as placed; return what that costs: changes of leader, split parties."""
        b, leader, changes, splits = team.b, team.leader, 0, 0
        here, party, parties = self.at[b], self.ground.party, self.party[b]
        for p in team.people:
            here[p] = leader
            if party[p] >= 0:
                crews = parties[party[p]]
                splits += bool(crews) and leader not in crews
                crews[leader] = crews.get(leader, 0) + 1
        changes = self._changes(team)
        return changes * self.ground.weights.change + splits * self.ground.weights.split

    def _leave(self, team: Team) -> int:
        """Mark the people as free; return what their placement had cost."""
        b, leader, splits = team.b, team.leader, 0
        changes = self._changes(team)
        here, party, parties = self.at[b], self.ground.party, self.party[b]
        for p in team.people:
            here[p] = -1
            if party[p] >= 0:
                crews = parties[party[p]]
                crews[leader] -= 1
                if not crews[leader]:
                    del crews[leader]
                    splits += bool(crews)
        return changes * self.ground.weights.change + splits * self.ground.weights.split

    def _changes(self, team: Team) -> int:
        count, leader = 0, team.leader
        if team.b:
            before = self.at[team.b - 1]
            for p in team.people:
                count += before[p] != leader and before[p] >= 0
        if team.b + 1 < len(self.at):
            after = self.at[team.b + 1]
            for p in team.people:
                count += after[p] != leader and after[p] >= 0
        return count

    def bound_to(self, team: Team) -> list[Team]:
        """Teams that cannot stand without this one: supervised by it, or with later jobs."""
        found = [
            other
            for other in self.team[team.b].values()
            if other.supervisor == team.leader and other is not team
        ]
        later, done = self.ground.later, self.done
        for j in team.jobs:
            for after in later[j]:
                other = done[after]
                if other is not None and other is not team and other not in found:
                    found.append(other)
        return found

    def teams(self) -> list[Team]:
        """All teams, in a fixed order."""
        return [teams[leader] for teams in self.team for leader in sorted(teams)]


def to_plan(ground: Ground, teams: list[Team]) -> Plan:
    """The plan in the words of the facts."""
    return Plan(tuple(_crew(ground, team) for team in teams))


def _crew(ground: Ground, team: Team) -> Crew:
    people, jobs = ground.people, ground.jobs
    members = [people[team.leader].id]
    members += [people[p].id for p in ones(team.mask) if p != team.leader]
    lasts = ground.duration
    tasks = [
        PlannedJob(jobs[j].id, start, start + lasts[j][len(team.people)])
        for j, start in zip(team.jobs, team.starts, strict=True)
    ]
    return Crew(
        block=team.b,
        leader=people[team.leader].id,
        members=tuple(members),
        jobs=tuple(sorted(tasks, key=lambda task: (task.start, task.end))),
        supervisor=people[team.supervisor].id if team.supervisor >= 0 else None,
    )
