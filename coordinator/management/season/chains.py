"""Chains of jobs in the season: stones that are being mended, and some that were only asked for."""

from datetime import date, datetime, timedelta

from coordinator.management.season.leave import permit
from coordinator.models import Person
from workdays.actions.chains import add_chain
from workdays.models import Cemetery, Conclusion, Job, Stone

MENDED, BEGUN = 4, 5  # so many stones are bonded and clamped; one more is only begun
BEFORE_MORTAR = ("recording", "mending")
LEAVE = {
    "kinds": ["mending"],
    "given_by": "Alder Township",
    "days_left": 200,
    "terms": "Only what Ingrid Vale leads.",
}


def make(place: Cemetery, *, by: Person, today: date, now: datetime) -> None:
    """Let a conservator mend some stones: four wait for lime mortar, so that a batch is shared."""
    permit(place, LEAVE, today)
    broken = Stone.objects.filter(
        cemetery=place, conclusion__kind=Conclusion.Kind.CONSERVATOR, jobs__days=None
    )
    for number, stone in enumerate(broken.distinct().order_by("pk")[:BEGUN], 1):
        # The chain takes the place of the one job that was written down by hand.
        stone.jobs.filter(kind__key="mending", state=Job.State.OPEN, days=None).delete()
        jobs = add_chain(stone, by=by, now=now)
        _in_season(jobs, today)
        done = [job for job in jobs if job.kind.key in BEFORE_MORTAR][
            : 3 if number <= MENDED else 1
        ]
        worked_at = now - timedelta(days=3)
        Job.objects.filter(pk__in=[job.pk for job in done]).update(
            state=Job.State.DONE, done_at=worked_at
        )
    leaning = Stone.objects.filter(cemetery=place, conclusion__needs__icontains='"reset"')
    for stone in leaning.order_by("-pk")[:2]:
        add_chain(stone, by=by, now=now)


def _in_season(jobs: list[Job], today: date) -> None:
    """Move the season of mortar to the weeks around today: the demo shows it in winter, too."""
    ends = [today + timedelta(days=days) for days in (-60, 120)]
    first, last = (end.month * 100 + end.day for end in ends)
    ids = [job.pk for job in jobs if job.season_first]
    Job.objects.filter(pk__in=ids).update(season_first=first, season_last=last)
