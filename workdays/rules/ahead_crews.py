"""Crews for the ready work of a day, by one careful rule of thumb instead of a search.

Work that the fewest people may lead comes first: its leaders open crews with as few people as
the job takes, helpers who could lead least first, and then crews are filled as long as there is
more work than they can do that day. The hard rules are those of a plan: leaders, levels, the
ratio of new people, supervisors and what they may look after, minors with their guardian,
languages, lifters, equipment.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from workdays.rules.ahead_tables import Hand, Sort, Tables


@dataclass(slots=True, eq=False)
class Team:
    """A crew in the making and at work; counts are those of its own kind of work.

    `under`: the crew of the supervisor, where the kind asks for one. `most`, `lifters`, `place`
    (section): of the work it was made for. `held`: equipment handed out to it. `local`: jobs that
    only this crew may go on with in this block. `places`: sections where it did supervised work
    in this block. `done`: job, first quarter hour, end.
    """

    leader: Hand
    kind: int
    most: int
    lifters: int
    place: str = ""
    under: "Team | None" = None
    members: list[Hand] = field(default_factory=list)
    new: int = 0
    able: int = 0
    strong: int = 0
    held: dict[str, int] = field(default_factory=dict)
    sorts: list[int] = field(default_factory=list)
    local: list[int] = field(default_factory=list)
    places: set[str] = field(default_factory=set)
    done: list[tuple[int, int, int]] = field(default_factory=list)

    def add(self, hand: Hand) -> None:
        """Take somebody in, with the minors who came along."""
        for one in hand.group:
            self.members.append(one)
            self.new += one.new[self.kind]
            self.able += one.able[self.kind]
            self.strong += one.lifts


@dataclass(frozen=True, slots=True)
class Wanted:
    """Ready work of one kind: its sorts, the most urgent first, and their person-minutes."""

    kind: int
    sorts: Sequence[Sort]
    by_sort: Sequence[int]

    @property
    def minutes(self) -> int:
        """Person-minutes of all of it."""
        return sum(self.by_sort)


class Forming:
    """Makes the crews of a stretch of work; `short` says why a kind of work got none."""

    def __init__(self, tables: Tables, present: Iterable[Hand], minutes: int) -> None:
        self.kinds = tables.kinds
        self.ratios = tables.facts.ratios
        self.minutes = minutes
        self.free = sorted(present, key=lambda hand: hand.worth)
        self.kit = dict(tables.facts.kit)
        self.teams: list[Team] = []
        self.short: dict[int, str] = {}

    def form(self, wanted: Iterable[Wanted]) -> list[Team]:
        """Make crews for each kind of work, in the order given."""
        for work in wanted:
            before = len(self.teams)
            self._open(work)
            self._fill(self.teams[before:], work)
        return self.teams

    def _open(self, work: Wanted) -> None:
        """Make crews, one for each leader, until they can do all of the work."""
        why, able, before = self._nobody(work.kind), 0, len(self.teams)
        for leader in self._leaders(work.kind):
            if able >= work.minutes:
                break
            if leader not in self.free:
                continue  # helps in a crew by now
            team, lacking = self._team(leader, work)
            why = lacking or why
            if team:
                self._take(team)
                able += len(team.members) * self.minutes
        if len(self.teams) == before:
            self.short[work.kind] = why

    def _leaders(self, kind: int) -> list[Hand]:
        """Return who may lead, those first whom nothing else needs; supervisors before all."""
        able = [hand for hand in self.free if hand.leads[kind]]
        if self.kinds[kind].needs_supervisor:
            able.sort(key=lambda hand: not hand.supervises[kind])
        return able

    def _nobody(self, kind: int) -> str:
        flags = self.kinds[kind]
        if flags.needs_conservator:
            return "conservator"
        return "supervisor" if flags.needs_supervisor else "leader"

    def _led_by_supervisor(self, kind: int) -> Team | None:
        """Return a crew whose supervisor may look after one more."""
        for one in self.teams:
            if one.kind == kind and one.under is one:
                crews = sum(other.under is one for other in self.teams)
                if crews < self.ratios.crews_per_supervisor:
                    return one
        return None

    def _team(self, leader: Hand, work: Wanted) -> tuple[Team | None, str]:
        """Return the smallest crew for the first sort of work that can have one, or what lacks."""
        supervised, own = self.kinds[work.kind].needs_supervisor, leader.supervises[work.kind]
        under = self._led_by_supervisor(work.kind) if supervised and not own else None
        if supervised and not own and under is None:
            return None, "supervisor"
        why = "helpers"
        for sort in work.sorts:
            if under and sort.section != under.place:
                continue
            why = self._without_kit(sort)
            if why:
                continue
            most = min(sort.most, self.ratios.max_crew)
            held = dict(sort.kit)
            team = Team(leader, work.kind, most, sort.lifters, sort.section, under, held=held)
            if supervised and own:
                team.under = team
            why = self._manned(team, sort) if self._joins(team, leader) else "helpers"
            if not why:
                return team, ""
        return None, why

    def _without_kit(self, sort: Sort) -> str:
        lacking = [item for item, count in sort.kit if self.kit.get(item, 0) < count]
        return f"kit {lacking[0]}" if lacking else ""

    def _manned(self, team: Team, sort: Sort) -> str:
        """Add leader and helpers until there are enough; return what lacks, empty: nothing."""
        team.add(team.leader)
        fewest = max(sort.fewest, self.ratios.min_crew)
        for hand in self.free:
            size, missing = len(team.members), sort.lifters - team.strong
            if size >= fewest and missing <= 0:
                break
            useful = hand.lifts or (size < fewest and team.most - size - hand.heads >= missing)
            if useful and hand is not team.leader and self._joins(team, hand):
                team.add(hand)
        if len(team.members) < fewest:
            return "helpers"
        return "" if team.strong >= sort.lifters else "lifters"

    def _joins(self, team: Team, hand: Hand) -> bool:
        if len(team.members) + hand.heads > team.most or not hand.helps[team.kind]:
            return False
        group = hand.group
        for one in group:
            if not one.helps[team.kind] or (team.lifters and one.frail):
                return False
            if not shares_language(one, team.leader):
                return False
        return self._ratio_kept(team, group) and self._looked_after(team, group)

    def _ratio_kept(self, team: Team, group: list[Hand]) -> bool:
        ratio, new, able = self.kinds[team.kind].new_per_competent, team.new, team.able
        if ratio is None:
            return True
        for one in group:
            new += one.new[team.kind]
            able += one.able[team.kind]
        return new <= ratio * able

    def _looked_after(self, team: Team, group: list[Hand]) -> bool:
        """Return whether the supervisor may have these people below signed off as well."""
        if team.under is None:
            return True
        trainees = len(team.members) - team.able
        for one in group:
            trainees += not one.able[team.kind]
        for other in self.teams:
            if other.under is team.under and other is not team:
                trainees += len(other.members) - other.able
        return trainees <= self.ratios.trainees_per_supervisor

    def _take(self, team: Team) -> None:
        taken = set(map(id, team.members))
        self.free = [hand for hand in self.free if id(hand) not in taken]
        self.teams.append(team)
        for item, count in team.held.items():
            self.kit[item] -= count

    def _fill(self, teams: list[Team], work: Wanted) -> None:
        """Add people to crews, the smallest first, as long as there is work for them."""
        able = sum(len(team.members) for team in teams) * self.minutes
        while teams and able < work.minutes:
            team = min(teams, key=lambda one: len(one.members))
            hand = next((one for one in self.free if self._joins(team, one)), None)
            if hand is None or not self._work_for(len(team.members) + hand.heads, work):
                teams.remove(team)
                continue
            team.add(hand)
            self.free.remove(hand)
            able += hand.heads * self.minutes

    def _work_for(self, size: int, work: Wanted) -> bool:
        """Whether a crew of a size would have work for half of the time and more."""
        ready = zip(work.sorts, work.by_sort, strict=True)
        minutes = sum(more for sort, more in ready if sort.fewest <= size <= sort.most)
        return 2 * minutes >= size * self.minutes


def shares_language(one: Hand, other: Hand) -> bool:
    """Return whether two people can speak with each other; no language named means any."""
    return not one.langs or not other.langs or not one.langs.isdisjoint(other.langs)
