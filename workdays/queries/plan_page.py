"""What the page of a crew plan shows."""

from dataclasses import dataclass

from django.db.models import Q

from workdays.models import CrewPlan, PlanRun, Workday
from workdays.queries.crews import CrewView, crews_of, lifts_lacking
from workdays.queries.stone_weight import JobLift
from workdays.rules.closeness import closeness
from workdays.rules.counting import heads, some
from workdays.rules.crew_naming import number_of

SHORT = 12  # sentences


@dataclass(frozen=True)
class PlanPage:
    """A plan with its crews, and what is left out in sentences."""

    plan: CrewPlan | None
    published: CrewPlan | None
    crews: tuple[CrewView, ...]
    run: PlanRun | None
    jobs_left: tuple[str, ...]
    people_left: tuple[str, ...]
    what_if: PlanRun | None = None

    @property
    def people(self) -> int:
        """How many people are in a crew."""
        return len({person.pk for crew in self.crews for person in crew.people})

    @property
    def counts(self) -> tuple[str, str, str]:
        """How many people there are, how many crews over the day, how many jobs they finish."""
        crews = len({crew.name for crew in self.crews})
        jobs = sum(len(crew.jobs) for crew in self.crews)
        return heads(self.people), some(crews, "crew"), some(jobs, "job")

    @property
    def pinned(self) -> int:
        """How many placements and jobs are pinned by hand."""
        jobs = sum(job.pinned for crew in self.crews for job in crew.jobs)
        return jobs + sum(len(crew.pinned) for crew in self.crews)

    @property
    def how_good(self) -> str:
        """How good the plan is for certain beside the best that could be; empty: not known."""
        return closeness(self.plan.value, self.plan.bound) if self.plan else ""

    @property
    def made_by_run(self) -> PlanRun | None:
        """The request that the plan shown came of, where it is the last one."""
        mine = self.run and self.plan and self.run.plan_id == self.plan.pk
        return self.run if mine else None

    @property
    def difference_is_short(self) -> bool:
        """Whether what changes is read at a glance; longer it is folded."""
        lines = self.plan.difference if self.plan else []
        return sum(len(sentences) for _when, sentences in lines) <= SHORT

    @property
    def lifts(self) -> list[JobLift]:
        """The lifts that lack something beside the advice."""
        return lifts_lacking(self.crews)

    @property
    def first_crews(self) -> list[CrewView]:
        """One crew of each name, for links to their sheets."""
        first: dict[str, CrewView] = {}
        for crew in self.crews:
            first.setdefault(crew.name, crew)
        return [first[name] for name in sorted(first, key=number_of)]


def plan_page(day: Workday) -> PlanPage:
    """Return the draft of a day if there is one, else the published plan."""
    current = list(day.plans.exclude(state=CrewPlan.State.OLD).order_by("state", "-made_at", "-pk"))
    shown = current[0] if current else None  # "draft" sorts before "published"
    published = next((one for one in current if one.state == CrewPlan.State.PUBLISHED), None)
    left = shown.left_out if shown else {}
    runs = _latest(day, shown)
    return PlanPage(
        plan=shown,
        published=published,
        crews=tuple(crews_of(shown)) if shown else (),
        run=runs.get(PlanRun.Kind.PLAN),
        jobs_left=tuple(left["why"] if "why" in left else [why for _, why in left.get("jobs", [])]),
        people_left=tuple(sentence for _, sentence in left.get("people", [])),
        what_if=runs.get(PlanRun.Kind.WHAT_IF) if shown else None,
    )


def _latest(day: Workday, shown: CrewPlan | None) -> dict[str, PlanRun]:
    """Return the last request to plan the day, and the last about the plan shown, by kind.

    One that is at work comes before one that waits for its turn.
    """
    asked = Q(kind=PlanRun.Kind.PLAN) | Q(kind=PlanRun.Kind.WHAT_IF, plan=shown)
    found: dict[str, PlanRun] = {}
    for run in day.plan_runs.filter(asked).order_by("asked_at", "pk"):
        before = found.get(run.kind)
        if before is None or before.state != PlanRun.State.RUNNING or not run.is_open:
            found[run.kind] = run
    return found


def last_request(day: Workday) -> PlanRun | None:
    """Return the request to plan the day that its page shows."""
    return _latest(day, None).get(PlanRun.Kind.PLAN)
