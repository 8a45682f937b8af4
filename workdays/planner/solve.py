"""From the facts of a day to the best plan found, checked, with its value and a bound.

`solve` is a function of facts, seed and limit: the same three give the same plan as long as the
limit counts work. A clock may be handed in to stop an interactive run; then the plan depends on
the machine. Every plan that leaves here breaks no rule of `workdays.rules.crew`.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from workdays.planner.index import Ground
from workdays.planner.proof import Proof, provable, prove
from workdays.planner.sound import sound
from workdays.planner.stages import BY_CLOCK, BY_TRIES, ONE_SEARCH, Place, place_of, width
from workdays.planner.version import VERSION
from workdays.planner.writing import facts_hash
from workdays.rules.crew import value
from workdays.rules.facts import DayFacts, Plan, Value, Violation

CHUNK = 250
MEASURED = 5  # chunks until it is known how fast the search is
BEFORE_PROOF = AFTER_PROOF = 20_000
# Joining may take a unit of the solver's work for so many tries, or such a share of its stage.
TRIES_PER_WORK = 100_000
JOINING = 0.75


@dataclass(frozen=True, slots=True)
class Limit:
    """How much work a run may do.

    `rounds`: tries of the search. `seconds`: the search also stops by the clock handed in; None:
    it does not. `proof`: CP-SAT's units of deterministic time for the proof (about a second
    each on a small day); 0: no proof is tried. `bound`: with an upper bound; `closer`: so many
    of the seconds are kept for a closer one. `stop_at`: good enough is this value. `cooling`: how
    far the search is cooled down at first and at last; beyond 1 it is colder still. `searches`:
    so many one after another, each of them cooled down; None: as many as suit the day.
    """

    rounds: int = 200_000
    seconds: float | None = None
    proof: float = 20.0
    bound: bool = True
    closer: float = 0.0
    stop_at: int | None = None
    cooling: tuple[float, float] = (0.0, 1.0)
    searches: int | None = None


@dataclass(frozen=True, slots=True)
class Progress:
    """A plan on the way: checked, with its value; `round` counts tries.

    `bound`: no plan is worth more; None: not known yet.
    """

    plan: Plan
    value: Value
    round: int
    bound: int | None = None


@dataclass(frozen=True, slots=True)
class Solution:
    """The best plan found and how it came about.

    `bound`: no plan is worth more; None: not computed. `proved`: no plan is worth more than this
    one. `clashes`: pins that no plan found could hold; where there are any, the plan leaves
    them out and must not be saved. `trail`: (round, value) of each improvement.
    """

    plan: Plan
    value: Value
    bound: int | None
    proved: bool
    seed: int
    rounds: int
    solver: str
    facts_hash: str
    trail: tuple[tuple[int, int], ...]
    clashes: tuple[Violation, ...] = ()

    @property
    def gap(self) -> float | None:
        """How far the bound lies above the plan, as a share of the bound's size."""
        if self.bound is None:
            return None
        return (self.bound - self.value.total) / max(1, abs(self.bound))


@dataclass(frozen=True, slots=True)
class Watch:
    """Who is shown the plans on the way, and what says when; None: nobody, each better one."""

    progress: Callable[[Progress], bool | None] | None = None
    due: Callable[[], bool] | None = None


class Run:
    """One search: what it has found so far, and when it must stop."""

    def __init__(
        self,
        facts: DayFacts,
        seed: int,
        limit: Limit,
        clock: Callable[[], float] | None,
        watch: Watch,
    ) -> None:
        self.facts, self.seed, self.limit = facts, seed, limit
        self.clock, self.watch = clock, watch
        self.begun = clock() if clock else 0.0
        self.rounds = 0
        self.cancelled = False
        self.trail: list[tuple[int, int]] = []
        self.shown: Progress | None = None
        self.shown_best = 0
        self.pooled: int | None = None
        self.ground = Ground(facts)
        self.base = value(facts, Plan()).total
        # The compiler takes half a second to load, and few processes ever plan.
        from workdays.planner.searches import Searches

        self.searches = Searches(self.ground, seed)
        self.start: Plan | None = None
        self.stages = ONE_SEARCH
        self.times: list[int] = []
        self.loaded = (0, 0.0)
        self.place = Place(0, 0, 0.0)

    @property
    def best(self) -> int:
        """Points of the best plan met above those of no plan."""
        return self.searches.best

    def done(self) -> float:
        """The share of the allowed work that is done, 0 to 1."""
        share = self.rounds / max(1, self.limit.rounds)
        if self.clock and self.limit.seconds is not None:
            seconds = max(0.001, self.limit.seconds - self.limit.closer)
            share = max(share, (self.clock() - self.begun) / seconds)
        return min(1.0, share)

    def begin(self, start: Plan | None) -> None:
        """A plan at once: the one to go on from, if there is one, and more crews around it."""
        self.start = start
        self.searches.begin(start)
        self.trail.append((self.rounds, self.best + self.base))
        self.tell(better=True)
        if self.watch.due is not None and self.watch.progress is not None and self.limit.bound:
            self.pooled = self._pooled()
            self.show()

    def left(self) -> float | None:
        """Seconds left by the clock; None: the clock does not count."""
        if self.clock is None or self.limit.seconds is None:
            return None
        return self.limit.seconds - (self.clock() - self.begun)

    def search(self, rounds: int) -> None:
        """Better plans until the limit, or until so many tries in all."""
        while self.rounds < rounds and not self.cancelled and not self._good_enough():
            done = self.done()
            if done >= 1 and self.rounds:  # a few tries cost nothing, however little time is left
                break
            before = self.best
            tries = min(CHUNK, rounds - self.rounds)
            first, last = self.limit.cooling
            self.searches.improve(tries, first + (last - first) * self._cooled(done))
            self.rounds += tries
            self._told(before)

    def _told(self, before: int) -> None:
        if self.best > before:
            self.trail.append((self.rounds, self.best + self.base))
        self.tell(better=self.best > before)

    def _cooled(self, done: float) -> float:
        """How far the search is cooled down, once joining or beginning anew what is due."""
        if not self.times and not self._measured(done):
            return 0.0
        place = place_of(self.stages, self.times, done)
        if place.stage != self.place.stage and self.stages[place.stage].join:
            self._join(self.stages[place.stage].until - done)
        elif place[:2] != self.place[:2]:
            self.searches.begin_anew(self.start)
        self.place = place
        return place.cooled

    def _measured(self, done: float) -> bool:
        """Divide the work as soon as it is known how many tries there will be.

        By the clock that shows after a few of them; the first also load the search.
        """
        if self.limit.seconds is None:
            self._divide(self.limit.rounds)
            return True
        if self.rounds <= CHUNK:
            self.loaded = (self.rounds, done)
        if self.rounds < MEASURED * CHUNK:
            return False
        self._divide((self.rounds - self.loaded[0]) / max(done - self.loaded[1], 1e-9))
        return True

    def _divide(self, tries: float) -> None:
        """Divide so many tries into stages, and each into searches."""
        if self.limit.searches is not None:
            self.times = [self.limit.searches]
            return
        if self.searches.joinable and self.searches.how_many(tries) > 1:
            self.stages = BY_TRIES if self.limit.seconds is None else BY_CLOCK
        shares = (width(self.stages, number) for number in range(len(self.stages)))
        self.times = [self.searches.how_many(tries * share) for share in shares]

    def _join(self, share: float) -> None:
        """Go on from the best plan of crews met; by the clock in so much of the work."""
        limit = self.limit
        seconds = limit.seconds and JOINING * share * max(0.0, limit.seconds - limit.closer)
        self.searches.join(self.rounds / TRIES_PER_WORK, seconds, self._asked)

    def shorten_walks(self, plan: Plan) -> None:
        """Go on a little from the plan of the proof, which knows no walks."""
        self.searches.begin_anew(plan)
        self.search(min(self.limit.rounds, self.rounds + AFTER_PROOF))

    def proof(self) -> Proof:
        """What CP-SAT makes of a small day, in the time left."""
        teams, seconds = self.searches.teams(), self.left()
        return prove(self.ground, teams, self.limit.proof, seconds=seconds, ended=self._asked)

    @property
    def _asked(self) -> Callable[[], bool] | None:
        """Who is asked whether they have ended it, where somebody watches all the time."""
        return self._ended if self.watch.due is not None else None

    def _ended(self) -> bool:
        """Tell whoever watches that somebody is at it; whether they have ended it."""
        self.tell(better=False)
        return self.cancelled

    def bound(self) -> int | None:
        """An upper bound for all plans, above no plan; a closer one where time is kept for it."""
        pooled, left = self.pooled if self.pooled is not None else self._pooled(), self.left()
        if self.cancelled or left is None or self.limit.closer <= 0 or left <= 0:
            return pooled
        # As with the compiler, solvers are loaded where one is asked.
        from workdays.planner.column_bound import column_bound

        clock = self._watched_clock
        closer = column_bound(self.ground, seconds=left, clock=clock, floor=self.best)
        return min((found for found in (pooled, closer) if found is not None), default=None)

    def _pooled(self) -> int | None:
        from workdays.planner.bound import upper_bound

        return upper_bound(self.ground)

    def _watched_clock(self) -> float:
        """The clock; it has run out once whoever watches says so."""
        return inf if self._ended() or not self.clock else self.clock()

    def _good_enough(self) -> bool:
        goal = self.limit.stop_at
        if self.pooled is not None and self.best >= self.pooled:
            return True
        return goal is not None and self.best + self.base >= goal

    def tell(self, *, better: bool) -> None:
        """Show the plan to whoever watches: when it is due, else each better one."""
        if self.watch.progress is not None and not self.cancelled:
            due = self.watch.due
            if better if due is None else due():
                self.show()

    def show(self) -> None:
        """Show the best plan so far; True from there cancels."""
        if self.watch.progress is not None:
            self.shown = self._progress()
            self.cancelled = bool(self.watch.progress(self.shown)) or self.cancelled

    def _progress(self) -> Progress:
        """What is found so far; a plan that was shown before is not checked again."""
        bound = None if self.pooled is None else self.pooled + self.base
        if self.shown is not None and self.shown_best == self.best:
            return replace(self.shown, round=self.rounds, bound=bound)
        self.shown_best = self.best
        plan, _ = sound(self.facts, self.searches.best_search().plan())
        return Progress(plan, value(self.facts, plan), self.rounds, bound)


def solve(
    facts: DayFacts,
    *,
    seed: int = 1,
    limit: Limit | None = None,
    start: Plan | None = None,
    clock: Callable[[], float] | None = None,
    progress: Callable[[Progress], bool | None] | None = None,
    due: Callable[[], bool] | None = None,
) -> Solution:
    """Return the best plan found within the limit; never raises, a day without work has none.

    `start` is a plan to go on from; what no longer may be is left out of it. `clock` gives
    seconds, such as time.monotonic. `progress` is called with the first plan and with better
    ones; if it returns True the run stops with the best plan so far. Where `due` is given it is
    asked all the time, and `progress` is called when it says so; then a bound is made first.
    """
    run = Run(facts, seed, limit or Limit(), clock, Watch(progress, due))
    run.begin(start)
    small = run.limit.proof > 0 and provable(run.ground)
    run.search(min(BEFORE_PROOF, run.limit.rounds) if small else run.limit.rounds)
    proof = Proof() if run.cancelled else run.proof()
    if not proof.proved:
        run.search(run.limit.rounds)
    elif run.ground.weights.walk and proof.plan is not None:
        run.shorten_walks(proof.plan)
    bound = run.bound() if proof.bound is None and run.limit.bound else proof.bound
    return _solution(run, proof, bound)


def _solution(run: Run, proof: Proof, bound: int | None) -> Solution:
    plan, clashes = _best(run, proof)
    worth = value(run.facts, plan)
    top = None if bound is None else max(bound + run.base, worth.total)
    return Solution(
        plan=plan,
        value=worth,
        bound=top,
        proved=top is not None and top == worth.total and not clashes,
        seed=run.seed,
        rounds=run.rounds,
        solver=VERSION,
        facts_hash=facts_hash(run.facts),
        trail=tuple(run.trail),
        clashes=tuple(clashes),
    )


def _best(run: Run, proof: Proof) -> tuple[Plan, list[Violation]]:
    """The better of the plans of search and proof, once the checker has seen both."""
    found = sound(run.facts, run.searches.best_search().plan())
    if proof.plan is None:
        return found
    other = sound(run.facts, proof.plan)
    worth, more = value(run.facts, found[0]).total, value(run.facts, other[0]).total
    return other if (-len(other[1]), more) > (-len(found[1]), worth) else found
