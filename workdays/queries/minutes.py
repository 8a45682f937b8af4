"""How long jobs take: what the chains estimate, what recorded times say, for one size of stone."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from workdays.models import Cemetery, ChainStep, Job, JobTime, KindOfWork, Stone
from workdays.rules.counting import some
from workdays.rules.job_shape import LONGEST_MINUTES, SHORTEST_MINUTES
from workdays.rules.learning import ENOUGH_DAYS, Estimate, Part, Took, estimate, whole_jobs
from workdays.rules.sizes import SIZES, Size, size_of

USUAL_MINUTES = 60


@dataclass(frozen=True)
class Work:
    """Work that takes alike: a kind, with what its chains estimate by size, empty: no chain.

    Steps of one kind with the same estimates are the same work in other words.
    """

    kind: int
    by_size: tuple[int, ...] = ()

    def default(self, size: Size) -> int:
        """Return the estimate of the chain, else what a new job is given."""
        return self.by_size[SIZES.index(size)] if self.by_size else USUAL_MINUTES


@dataclass(frozen=True)
class Learned:
    """What is known of how long work takes at a cemetery; ``steps``: the work of each step."""

    steps: dict[int, Work] = field(default_factory=dict)
    names: dict[Work, str] = field(default_factory=dict)
    times: Mapping[tuple[Work, Size], list[Took]] = field(default_factory=dict)

    def work(self, kind: int, step: int | None) -> Work:
        """Return the work of a job; without a step it is that of the kind, if that has one."""
        if step in self.steps:
            return self.steps[step]
        known = [work for work in self.names if work.kind == kind]
        return known[0] if len(known) == 1 else Work(kind)

    def expected(self, work: Work, size: Size) -> Estimate:
        """Return the person-minutes to expect of a new job, within what a job may have.

        Where no chain estimates the work, nothing stands in for missing days: few are not enough.
        """
        found = estimate(self.times.get((work, size), ()), work.default(size))
        if not work.by_size and found.days < ENOUGH_DAYS:
            return Estimate(USUAL_MINUTES, 0)
        minutes = max(SHORTEST_MINUTES, min(LONGEST_MINUTES, found.minutes))
        return Estimate(minutes, found.days, found.elsewhere)


def learned_at(cemetery: Cemetery) -> Learned:
    """Return what is known of times, here and elsewhere; two statements."""
    names: dict[Work, str] = {}
    steps = {}
    for step in ChainStep.objects.order_by("template__order", "order", "pk"):
        work = Work(step.kind_id, tuple(step.minutes_by_size[size] for size in SIZES))
        steps[step.pk] = work
        names.setdefault(work, step.words)
    known = Learned(steps, names)
    times: dict[tuple[Work, Size], list[Took]] = defaultdict(list)
    for at, parts in _parts(known, cemetery).items():
        work, size, here = at
        times[work, size] += whole_jobs(parts, here=here)
    return Learned(steps, names, times)


def _parts(known: Learned, cemetery: Cemetery) -> dict[tuple[Work, Size, bool], list[Part]]:
    found: dict[tuple[Work, Size, bool], list[Part]] = defaultdict(list)
    rows = JobTime.objects.order_by().values_list(
        *("job", "on", "person_minutes", "finished", "job__kind", "job__step", "job__cemetery"),
        *("job__stone__height_cm", "job__stone__width_cm", "job__stone__thickness_cm"),
    )
    for job, on, minutes, finished, kind, step, place, *sizes in rows:
        at = (known.work(kind, step), size_of(*sizes), place == cemetery.pk)
        found[at].append(Part(job, on, minutes, finished))
    return found


def size_of_stone(stone: Stone | None) -> Size:
    """Return the size of a stone; work on a section counts as medium."""
    if stone is None:
        return "medium"
    return size_of(stone.height_cm, stone.width_cm, stone.thickness_cm)


@dataclass(frozen=True)
class MinutesRow:
    """One work at stones of one size. ``key`` names it; ``open_jobs`` could take the minutes.

    ``by_hand`` open jobs keep theirs. ``jobs``: how many times were noted, here and elsewhere.
    """

    key: str
    kind: KindOfWork
    words: str
    size: Size
    default: str
    estimate: Estimate
    jobs: int
    open_jobs: tuple[int, ...]
    by_hand: int

    @property
    def rests_on(self) -> str:
        """Return what the estimate rests on: "7 days, 12 jobs"."""
        if not self.jobs:
            return "no time noted yet"
        if not self.estimate.days:
            return f"{some(self.jobs, 'job')} noted, too few days yet"
        return f"{some(self.estimate.days, 'day')}, {some(self.jobs, 'job')} noted"


@dataclass(frozen=True)
class MinutesPage:
    """What is known of how long work takes at a cemetery."""

    heading: str
    rows: list[MinutesRow]


def minutes_page(cemetery: Cemetery) -> MinutesPage:
    """Return each work and size that is to be done here, or that times were noted of here."""
    rows = minutes_rows(cemetery)
    days = JobTime.objects.filter(job__cemetery=cemetery).values("on").distinct().count()
    said = f"minutes are learned from {some(days, 'day')}" if days else "no time is noted yet"
    return MinutesPage(f"{cemetery.name}: {said}", rows)


def minutes_rows(cemetery: Cemetery) -> list[MinutesRow]:
    """Return each work and size with what is expected, in the order of the kinds of work."""
    known, kinds = learned_at(cemetery), {kind.pk: kind for kind in KindOfWork.objects.all()}
    free, held = _open_jobs(cemetery, known)
    here = {at for at, times in known.times.items() if any(took.here for took in times)}
    several = Counter(work.kind for work in known.names)
    rows = [
        MinutesRow(
            key=key_of(work, size),
            kind=kinds[work.kind],
            words=known.names.get(work, "") if several[work.kind] > 1 else "",
            size=size,
            default=f"{work.default(size)} min" if work.by_size else "none",
            estimate=known.expected(work, size),
            jobs=len(known.times.get((work, size), ())),
            open_jobs=_others(free[work, size], known.expected(work, size)),
            by_hand=held[work, size],
        )
        for work, size in here | set(free) | set(held)
    ]
    return sorted(rows, key=lambda row: (row.kind.order, row.words, SIZES.index(row.size)))


def key_of(work: Work, size: Size) -> str:
    """Return a name for work at stones of one size, for the button of its row."""
    return "-".join([str(work.kind), *(str(minutes) for minutes in work.by_size), size])


def _others(jobs: Iterable[tuple[int, int]], found: Estimate) -> tuple[int, ...]:
    """Return the jobs that would change; none as long as nothing was learned."""
    return tuple(job for job, minutes in jobs if found.days and minutes != found.minutes)


def _open_jobs(
    cemetery: Cemetery, known: Learned
) -> tuple[dict[tuple[Work, Size], list[tuple[int, int]]], Counter[tuple[Work, Size]]]:
    """Return the open jobs nobody has begun, with their minutes; and how many are by hand."""
    free: dict[tuple[Work, Size], list[tuple[int, int]]] = defaultdict(list)
    held: Counter[tuple[Work, Size]] = Counter()
    rows = cemetery.jobs.filter(state=Job.State.OPEN, minutes_left__isnull=True).order_by("pk")
    for job, minutes, by_hand, kind, step, *sizes in rows.values_list(
        *("pk", "person_minutes", "minutes_by_hand", "kind", "step"),
        *("stone__height_cm", "stone__width_cm", "stone__thickness_cm"),
    ):
        at = (known.work(kind, step), size_of(*sizes))
        if by_hand:
            held[at] += 1
        else:
            free[at].append((job, minutes))
    return free, held
