"""Steps of the search: take a few crews apart, make others, and be able to go back."""

from random import Random

from workdays.planner.draft import Draft
from workdays.planner.index import Ground, ones
from workdays.planner.rebuild import Builder
from workdays.planner.state import State, Team


class Step:
    """What one try has taken out and put in; `undo` restores the state before it."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.taken: list[Team] = []
        self.made: list[Team] = []

    def take(self, team: Team) -> None:
        """Take a team out, and first all that cannot stand without it."""
        if self.state.team[team.b].get(team.leader) is not team:
            return
        for other in self.state.bound_to(team):
            self.take(other)
        self.state.take(team)
        if team in self.made:
            self.made.remove(team)
        else:
            self.taken.append(team)

    def put(self, team: Team) -> None:
        """Put a new team in."""
        self.state.put(team)
        self.made.append(team)

    def undo(self) -> None:
        """Go back to the state before the step."""
        for team in reversed(self.made):
            self.state.take(team)
        for team in reversed(self.taken):
            self.state.put(team)


def rebuild_some(builder: Builder, rng: Random) -> Step:
    """Take one to four crews of a block apart and build anew from what is free."""
    state, step = builder.state, Step(builder.state)
    b = rng.randrange(len(state.team))
    teams = state.team[b]
    if teams:
        for leader in some_near(state, b, rng):
            if leader in teams:
                step.take(teams[leader])
    touched = {b} | {team.b for team in step.taken}
    for block in sorted(touched):
        for team in builder.build(block, leaders_for(builder, block, rng)):
            step.made.append(team)
        join_left(builder, step, block, rng)
    return step


def some_near(state: State, b: int, rng: Random) -> list[int]:
    """A few leaders of crews of a block; on large days those that share a section."""
    leaders = list(state.team[b])
    count = 1 + int(rng.random() * 3.5)
    if len(leaders) > 12 and rng.random() < 0.7:
        first = state.team[b][leaders[int(rng.random() * len(leaders))]]
        near = [n for n in leaders if state.team[b][n].sections & first.sections]
        leaders = near
    return rng.sample(leaders, min(count, len(leaders)))


def leaders_for(builder: Builder, b: int, rng: Random) -> list[int]:
    """Free people who may lead, in a random order, supervisors mostly first."""
    found = ones(builder.state.free[b] & builder.ground.blocks[b].leaders)
    rng.shuffle(found)
    if len(found) > 8:
        del found[8:]
    if rng.random() < 0.8:
        found.sort(key=lambda p: not builder.supervisors >> p & 1)
    return found


def join_left(builder: Builder, step: Step, b: int, rng: Random) -> None:
    """Offer people who are still free to crews; keep what gains."""
    state = builder.state
    for p in ones(state.free[b]):
        if rng.random() < 0.5 and state.team[b] and state.free[b] >> p & 1:
            leaders = list(state.team[b])
            team = state.team[b][leaders[int(rng.random() * len(leaders))]]
            worth = state.total
            sub = change_people(builder, team, team.mask | 1 << p)
            if sub is not None:
                if state.total > worth:
                    merge(step, sub)
                else:
                    sub.undo()


def merge(step: Step, sub: Step) -> None:
    """Make a smaller step part of a larger one."""
    for team in sub.taken:
        if team in step.made:
            step.made.remove(team)
        else:
            step.taken.append(team)
    step.made += sub.made


def change_people(builder: Builder, team: Team, mask: int, drop: float = 0.0) -> Step | None:
    """The same crew with other people: keeps its jobs where it can, then fills up."""
    state, ground = builder.state, builder.ground
    people = [team.leader, *(p for p in ones(mask) if p != team.leader)]
    if not may_be_crew(builder.ground, team.b, team.leader, mask):
        return None
    step = Step(state)
    step.take(team)
    draft = Draft(state, team.b, team.leader, people)
    for j in team.jobs:
        if not drop or builder.rng.random() >= drop:
            draft.add(j)
    anchor = draft.jobs[0] if draft.jobs else team.jobs[0]
    builder.fill(draft, builder.pool(anchor))
    if draft.jobs and len(people) >= ground.fewest:
        step.put(draft.team())
    return step


def may_be_crew(ground: Ground, b: int, leader: int, mask: int) -> bool:
    """Whether people may be one crew at all: size, language, guardians, pairs."""
    others = mask & ~(1 << leader)
    if mask.bit_count() > ground.most or others & ~ground.blocks[b].mates[leader]:
        return False
    follow = ground.facts.ratios.minors_follow
    for p in ones(mask):
        guardian = ground.guardian[p]
        if guardian != -1 and (guardian < 0 or not mask >> guardian & 1):
            return False
        if follow and ground.kids[p] & ground.blocks[b].there & ~mask:
            return False
        if mask & ground.rivals[p]:
            return False
    return True


def refill(builder: Builder, rng: Random) -> Step | None:
    """One crew, the same people, some of its jobs given up for others."""
    team = any_team(builder.state, rng)
    return None if team is None else change_people(builder, team, team.mask, 0.5)


def shift(builder: Builder, rng: Random) -> Step | None:
    """One person leaves a crew, or joins one from another crew or from nowhere."""
    state = builder.state
    team = any_team(state, rng)
    if team is None:
        return None
    b = team.b
    there = ones(builder.ground.blocks[b].there & ~team.mask)
    if not there or rng.random() < 0.2:
        return leave(builder, team, rng)
    p = there[int(rng.random() * len(there))]
    return swap_in(builder, team, p, rng)


def leave(builder: Builder, team: Team, rng: Random) -> Step | None:
    """One person, not the leader, leaves a crew."""
    others = [p for p in team.people if p != team.leader]
    if not others:
        return None
    p = others[int(rng.random() * len(others))]
    return change_people(builder, team, team.mask & ~(1 << p))


def swap_in(builder: Builder, team: Team, p: int, rng: Random) -> Step | None:
    """A person comes into a crew; perhaps another goes the other way."""
    state, b = builder.state, team.b
    other = state.team[b].get(state.at[b][p])
    mask = team.mask | 1 << p
    back = 0
    if rng.random() < 0.5 or len(team.people) >= builder.ground.most:
        others = [q for q in team.people if q != team.leader]
        if others:
            back = 1 << others[int(rng.random() * len(others))]
            mask &= ~back
    if not may_be_crew(builder.ground, b, team.leader, mask):
        return None
    step = Step(state)
    if other is not None:
        if p == other.leader:
            step.take(other)
        elif not _replace(builder, step, other, other.mask & ~(1 << p), back, team):
            return None
    _remake(builder, step, team, mask)
    return step


def _replace(builder: Builder, step: Step, other: Team, mask: int, back: int, team: Team) -> bool:
    """The other crew without the person, with who came back; False: it may not be."""
    if not may_be_crew(builder.ground, other.b, other.leader, mask | back):
        return False
    step.take(team)
    _remake(builder, step, other, mask | back)
    return True


def _remake(builder: Builder, step: Step, team: Team, mask: int) -> None:
    """Take a crew out and make it again with other people, as part of a step."""
    step.take(team)
    state = builder.state
    if mask & ~state.free[team.b]:
        return
    people = [team.leader, *(p for p in ones(mask) if p != team.leader)]
    draft = Draft(state, team.b, team.leader, people)
    for j in team.jobs:
        draft.add(j)
    builder.fill(draft, builder.pool(team.jobs[0]))
    if draft.jobs and len(people) >= builder.ground.fewest:
        step.put(draft.team())


def any_team(state: State, rng: Random) -> Team | None:
    """A crew by chance; None where there is none."""
    count = sum(len(teams) for teams in state.team)
    if not count:
        return None
    place = int(rng.random() * count)
    for teams in state.team:
        if place < len(teams):
            return list(teams.values())[place]
        place -= len(teams)
    return None
