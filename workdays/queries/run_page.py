"""A request to plan as its page shows it: what is found so far, how good that is, who is at it."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from coordinator.health import worker_is_late
from workdays.models import PlanRun, Workday
from workdays.queries.found_crews import found_crews
from workdays.queries.plan_page import PlanPage
from workdays.rules.closeness import closeness, lasted
from workdays.watching import LIMITS

# So long without a sign, and somebody who waits is told; the reasons of a large day take this long.
SILENT_AFTER = timedelta(seconds=30)


@dataclass(frozen=True)
class RunView:
    """One request, now. ``silent``: the seconds since the worker's last sign, where it is late."""

    run: PlanRun
    seconds: int
    silent: int
    no_worker: bool

    @property
    def is_open(self) -> bool:
        """Whether somebody is at it, or has still to be."""
        return self.run.is_open

    @property
    def begun(self) -> bool:
        """Whether a worker has begun."""
        return self.run.state != PlanRun.State.ASKED

    @property
    def may_keep(self) -> bool:
        """Whether there is a plan that a press would keep."""
        return bool(self.run.found) and self.run.state != PlanRun.State.CANCELLED

    @property
    def share(self) -> int:
        """How much of the search is done, in per cent."""
        limit = LIMITS[PlanRun.Effort(self.run.effort)]
        by_clock = self.seconds / limit.seconds if limit.seconds else 0.0
        return int(100 * min(1.0, max(by_clock, self.run.tries / limit.rounds)))

    @property
    def closeness(self) -> str:
        """How good the best plan so far is for certain, in words."""
        return closeness(self.run.value or 0, self.run.bound)

    @property
    def lasted(self) -> str:
        """How long it has been at work."""
        return lasted(self.seconds)

    @property
    def silent_for(self) -> str:
        """How long nothing was heard of it."""
        return lasted(self.silent)


def run_view(run: PlanRun | None, *, now: datetime) -> RunView | None:
    """Return a request as it is shown; None where there is none. One statement while it is open."""
    if run is None:
        return None
    end = run.finished_at or now
    quiet = now - (run.seen_at or run.started_at or now)
    running = run.state == PlanRun.State.RUNNING
    return RunView(
        run=run,
        seconds=int((end - run.started_at).total_seconds()) if run.started_at else 0,
        silent=int(quiet.total_seconds()) if running and quiet >= SILENT_AFTER else 0,
        no_worker=run.is_open and worker_is_late(now),
    )


def found_page(day: Workday, run: PlanRun | None) -> PlanPage | None:
    """Return the plan that an open request has found so far as a page; None where there is none."""
    if run is None or not run.is_open or not run.found:
        return None
    crews = found_crews(day, run)
    return PlanPage(None, None, crews, run, jobs_left=(), people_left=())
