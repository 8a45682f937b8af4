"""What a hand does to a plan and to what is held on it: each gives both, or what it would break.

What is moved by hand stays where it was put: it is pinned there. A pin of one's own gives way to
a new move; the pins of others and a locked crew do not, and the checker says so.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from workdays.planner import hands
from workdays.planner.held import Held, held_on, pair_of
from workdays.rules.crew import violations
from workdays.rules.facts import DayFacts, JobPin, PersonPin, Plan, Violation


@dataclass(frozen=True)
class Board:
    """A day's facts, a plan of it, and what hands hold on that plan."""

    facts: DayFacts
    plan: Plan
    held: Held

    @property
    def judged_by(self) -> DayFacts:
        """The facts with what is held: by these a change of the plan is judged."""
        return held_on(self.facts, self.plan, self.held)


Turned = Board | list[Violation]
Turn = Callable[[Board], Turned]


def _turned(board: Board, found: Plan | list[Violation], held: Held) -> Turned:
    return replace(board, plan=found, held=held) if isinstance(found, Plan) else found


def _loose(board: Board, block: int, *people: str) -> Board:
    """The board without the pins that are some people's own in a block."""
    kept = {p for p in board.held.people if p.block != block or p.person not in people}
    return replace(board, held=replace(board.held, people=frozenset(kept)))


def _leader_of(plan: Plan, block: int, person: str) -> str | None:
    leaders = (c.leader for c in plan.crews if c.block == block and person in c.members)
    return next(leaders, None)


def _pinned(board: Board, block: int, *people: str) -> Board:
    """The board with people pinned where they are; in no crew: pinned to none."""
    pins = {PersonPin(key, block, _leader_of(board.plan, block, key)) for key in people}
    loose = _loose(board, block, *people)
    return replace(loose, held=replace(loose.held, people=loose.held.people | pins))


def _known(board: Board, *people: str) -> list[Violation]:
    unknown = [key for key in people if key not in board.facts.person]
    return [
        Violation("unknown", (key,), "Nobody of that name comes to this day.") for key in unknown
    ]


def move_person(board: Board, *, person: str, block: int, to_leader: str | None) -> Turned:
    """Put a person into the crew of a leader in a block, or into none (None), and pin them.

    Minors go along with their guardian, and are pinned too.
    """
    if not 0 <= block < len(board.facts.blocks):
        return [Violation("unknown", (person,), f"The day has no block {block}.")]
    moved = (person, *hands.followers(board.facts, board.plan, person, block))
    loose = _loose(board, block, *moved)
    found = hands.move_person(
        loose.judged_by, board.plan, person=person, block=block, to_leader=to_leader
    )
    if not isinstance(found, Plan):
        return found
    return _pinned(replace(loose, plan=found), block, *moved)


def swap_people(board: Board, *, one: str, other: str, block: int) -> Turned:
    """Let two people change places in a block, and pin both."""
    loose = _loose(board, block, one, other)
    found = hands.swap_people(loose.judged_by, board.plan, one=one, other=other, block=block)
    if not isinstance(found, Plan):
        return found
    return _pinned(replace(loose, plan=found), block, one, other)


def pin_person(board: Board, *, person: str, block: int) -> Turned:
    """Pin a person where they are in a block; in no crew: they stay in none."""
    return _known(board, person) or _pinned(board, block, person)


def unpin_person(board: Board, *, person: str, block: int) -> Turned:
    """Take a person's own pin of a block out."""
    return _loose(board, block, person)


def _without_pin(board: Board, job: str) -> Board:
    """The board with nothing held of a job: neither a pin nor that it is kept out."""
    kept = frozenset(pin for pin in board.held.jobs if pin.job != job)
    return replace(board, held=replace(board.held, jobs=kept, off=board.held.off - {job}))


def _kept_out(board: Board, job: str) -> Board:
    return replace(board, held=replace(board.held, off=board.held.off | {job}))


def move_job(board: Board, *, job: str, block: int, to_leader: str) -> Turned:
    """Give a job to a crew as its last of the block, and pin it there."""
    loose = _without_pin(board, job)
    found = hands.add_job(loose.judged_by, board.plan, job=job, block=block, to_leader=to_leader)
    if not isinstance(found, Plan):
        return found
    return pin_job(replace(loose, plan=found), job=job)


def shift_job(board: Board, *, job: str, by: int) -> Turned:
    """Do a job earlier (-1) or later (1) in its crew; the pins stay as they are."""
    found = hands.shift_job(board.judged_by, board.plan, job=job, by=by)
    return _turned(board, found, board.held)


def _gone(board: Board, job: str) -> list[Violation]:
    known = job in board.facts.job
    return [] if known else [Violation("unknown", (job,), "This job is not on the day any more.")]


def take_job_out(board: Board, *, job: str) -> Turned:
    """Take a job out of the plan, with its pin, and keep it out."""
    if refused := _gone(board, job):
        return refused
    loose = _without_pin(board, job)
    found = hands.remove_job(loose.judged_by, board.plan, job=job)
    return _turned(loose, found, _kept_out(loose, job).held)


def pin_job(board: Board, *, job: str) -> Turned:
    """Pin a job to the crew that does it; one that no crew does is kept out of the plan."""
    for crew in board.plan.crews:
        if any(task.job == job for task in crew.jobs):
            loose = _without_pin(board, job)
            pins = loose.held.jobs | {JobPin(job, crew.block, crew.leader)}
            return replace(loose, held=replace(loose.held, jobs=pins))
    return _gone(board, job) or _kept_out(board, job)


def unpin_job(board: Board, *, job: str) -> Turned:
    """Take a job's own pin out; one that was kept out may be planned again."""
    return _without_pin(board, job)


def lock_crew(board: Board, *, block: int, leader: str) -> Turned:
    """Keep a crew of a block as it is: its people and jobs stay, nobody and nothing joins."""
    if not any((crew.block, crew.leader) == (block, leader) for crew in board.plan.crews):
        return [Violation("unknown", (leader,), "There is no such crew in that block.")]
    held = replace(board.held, crews=board.held.crews | {(block, leader)})
    return replace(board, held=held)


def unlock_crew(board: Board, *, block: int, leader: str) -> Turned:
    """Let a crew's people and jobs go elsewhere again."""
    return replace(board, held=replace(board.held, crews=board.held.crews - {(block, leader)}))


def keep_apart(board: Board, *, one: str, other: str) -> Turned:
    """Keep two people out of each other's crews all day; where they share one, part them."""
    refused = _known(board, one, other) or _inseparable(board.facts, one, other)
    if refused:
        return refused
    pair = pair_of(one, other)
    after = replace(board, held=replace(board.held, apart=board.held.apart | {pair}))
    found = hands.part(after.judged_by, board.plan, one=one, other=other)
    return _turned(after, found, after.held)


def _inseparable(facts: DayFacts, one: str, other: str) -> list[Violation]:
    """Why two people cannot be kept apart: they are one, or a minor and the guardian."""
    if one == other:
        return [Violation("apart", (one,), "Nobody can be kept apart from themself.")]
    for minor, guardian in ((one, other), (other, one)):
        if facts.person[minor].guardian == guardian:
            names = facts.person[minor].label, facts.person[guardian].label
            sentence = f"{names[0]} is a minor and stays with {names[1]}, the guardian."
            return [Violation("guardian", (minor, guardian), sentence)]
    return []


def let_together(board: Board, *, one: str, other: str) -> Turned:
    """Let two people be in one crew again."""
    pair = pair_of(one, other)
    return replace(board, held=replace(board.held, apart=board.held.apart - {pair}))


def stands(board: Board) -> Turned:
    """Return the board if its plan breaks no rule on the day as it is now."""
    return violations(board.judged_by, board.plan) or board
