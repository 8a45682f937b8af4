"""One request to plan at work: what is found on the way is kept with it, and its end is heard of.

Whoever stops or cancels a request changes its row; the worker sees that at its next sign of life
and saves nothing. So both work on a request whose worker is gone, too.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from math import inf
from typing import TypedDict

from django.db import OperationalError, close_old_connections

from workdays.models import CrewPlan, PlanRun
from workdays.planner.solve import Limit, Progress
from workdays.planner.writing import plan_to_json
from workdays.queries.plan_runs import claimed, found_plan

Effort = PlanRun.Effort

# Counted in tries, so that the same day and seed give the same plan on any machine; the times
# that the choices name are those of forty people.
ROUNDS = 200_000
LIMITS = {
    Effort.QUICK: Limit(rounds=ROUNDS),
    Effort.THOROUGH: Limit(rounds=3_000_000),
    Effort.LONG: Limit(rounds=10**9, seconds=300, closer=120),
}
SIGN_SECONDS = 1.0  # between two signs of life
# A request that counts tries ends here on a machine too slow for it: its task may not last longer.
MOST_SECONDS = 400.0
CHANGED = (
    "While this was planned, somebody changed the plan by hand (version {version}). What is pinned "
    "there is kept here too; to go back to their plan, take this one back."
)


class NotWanted(Exception):  # noqa: N818  # an answer, not an error
    """A request was stopped or cancelled while the worker was at it."""


class Hears(TypedDict):
    """What a search is given to be watched."""

    clock: Callable[[], float]
    progress: Callable[[Progress], bool]
    due: Callable[[], bool]


class Watch:
    """The worker's hold on a request while its claim on it holds."""

    def __init__(self, run: PlanRun, *, now: datetime, clock: Callable[[], float]) -> None:
        self.claimed = claimed(run)
        self.limit = LIMITS[Effort(run.effort)]
        self.found = found_plan(run) if run.found else None
        self.version: int | None = None
        self.now, self.clock, self.begun = now, clock, clock()
        self.next = -inf

    @property
    def limit_of_another(self) -> Limit:
        """How long is searched once more where the day changed meanwhile: not five minutes."""
        return self.limit if self.limit.seconds is None else LIMITS[Effort.QUICK]

    @property
    def hears(self) -> Hears:
        """What the search is given."""
        return {"clock": self.clock, "progress": self.hear, "due": self.due}

    def due(self) -> bool:
        """Whether the next sign of life is due."""
        return self.clock() >= self.next

    def hear(self, step: Progress) -> bool:
        """Keep the best plan so far; True: stop, as the request is not wanted any more."""
        self.next = self.clock() + SIGN_SECONDS
        found = plan_to_json(step.plan)
        values = {"value": step.value.total, "bound": step.bound, "tries": step.round}
        try:
            wanted = self.claimed.update(seen_at=self.moment(), found=found, **values)
        except OperationalError:
            # The database is away for a moment: the search goes on, and tells later.
            close_old_connections()
            return False
        return not wanted or self.clock() - self.begun > MOST_SECONDS

    def moment(self) -> datetime:
        """The time of day by the clock that has run since the request was begun."""
        return self.now + timedelta(seconds=self.clock() - self.begun)

    def begin(self, *, version: int | None) -> None:
        """Note the version of the plan that this one begins with."""
        self.version = version
        self.claimed.update(made_on=version)

    def steps(self, **steps: int) -> None:
        """Note how many changes of a plan were tried."""
        self.claimed.update(seen_at=self.moment(), **steps)

    def refuse_if_ended(self) -> None:
        """Raise NotWanted where somebody has stopped or cancelled the request."""
        if not self.claimed.exists():
            raise NotWanted

    def end(self, made: CrewPlan, *, version: int | None) -> None:
        """Note the plan that came of it; ``version``: the one that was shown just before."""
        changed = version is not None and version != self.version
        words = CHANGED.format(version=version) if changed else ""
        self.done(plan=made, value=made.value, bound=made.bound, tries=made.rounds, words=words)

    def done(self, **values: object) -> None:
        """Note that all is done."""
        self._end(PlanRun.State.DONE, found={}, **values)

    def fail(self, words: str, *, clash: list[dict[str, object]] | None = None) -> None:
        """Note why there is no plan; what was found on the way stays, to be kept by a press."""
        self._end(PlanRun.State.FAILED, words=words, clash=clash or [])

    def _end(self, state: PlanRun.State, **values: object) -> None:
        self.claimed.update(state=state, finished_at=self.moment(), **values)
