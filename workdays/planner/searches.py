"""Searches on one day, one after another; the best plan of all, and the crews met on the way.

Each is cooled down over its share of the tries and then begun anew: one that goes on for longer
gains less than another with a new seed. On days that are not large, the best plan made of crews
of all of them (`joining.py`) is better than the best of each, since one crew of a good plan is
often as good in another.
"""

from collections.abc import Callable

from workdays.planner.crews_met import CrewsMet, plan_of
from workdays.planner.index import Ground
from workdays.planner.search import Search, Team
from workdays.rules.facts import Plan

TRIES_PER_PERSON = 10_000
# Where crews of several searches are joined, more and shorter ones are better: there are more
# crews to choose from. Above so many people the packing takes longer than it gains.
TRIES_PER_PERSON_JOINED = 4_000
MOST_PEOPLE_JOINED = 40
FEWEST_JOINED = 2
NOTED_FROM = 0.7  # a search that is still hot meets crews that are of no use
MOST_MET = 8_000
NEXT_SEED = 1_000_003


class Searches:
    """The search that goes on now, and the one that has met the best plan."""

    def __init__(self, ground: Ground, seed: int) -> None:
        self.ground, self.seed = ground, seed
        self.found = self.now = Search(ground, seed)
        self.met = CrewsMet(ground)
        self.turn = 0

    @property
    def best(self) -> int:
        """Points of the best plan met above those of no plan."""
        return max(self.found.best, self.now.best)

    @property
    def joinable(self) -> bool:
        """Whether the day is one on which crews of several searches may be joined."""
        small = len(self.ground.people) <= MOST_PEOPLE_JOINED
        return small and self.ground.facts.max_moved is None

    def best_search(self) -> Search:
        """The search that has met the best plan."""
        return max(self.found, self.now, key=lambda one: one.best)

    def teams(self) -> list[Team]:
        """Crews of the best plan."""
        return self.best_search().teams()

    def how_many(self, tries: float) -> int:
        """Into how many searches so many tries are best divided."""
        each = TRIES_PER_PERSON_JOINED if self.joinable else TRIES_PER_PERSON
        return max(1, round(tries / each / max(1, len(self.ground.people))))

    def begin(self, start: Plan | None) -> None:
        """A plan at once: one to go on from, if there is one, and more crews around it."""
        if start is not None:
            self.now.enter(start)
        self.now.construct()

    def begin_anew(self, start: Plan | None) -> None:
        """Begin another search, with another seed."""
        self.turn += 1
        self._note_best()
        self.found = self.best_search()
        self.now = Search(self.ground, self.seed + self.turn * NEXT_SEED, self.now)
        self.begin(start)

    def improve(self, tries: int, cooled: float) -> None:
        """So many tries of the present search, which is cooled down so far."""
        self.now.improve(tries, cooled)
        if cooled > NOTED_FROM and self.joinable and len(self.met) < MOST_MET:
            self.met.note(self.now)

    def join(self, work: float, seconds: float | None, ended: Callable[[], bool] | None) -> None:
        """Go on from the best plan that can be put together from the crews met.

        `work`: units of CP-SAT's deterministic time; `ended`: True: stop.
        """
        # As with the compiler, solvers are loaded where one is asked.
        from workdays.planner.joining import join

        self._note_best()
        best = self.met.note_kept(self.best_search())
        crews = join(self.ground, self.met.crews, best, work, seconds=seconds, ended=ended)
        self.begin_anew(plan_of(self.ground, crews))

    def _note_best(self) -> None:
        if self.joinable:
            self.met.note_kept(self.now)
