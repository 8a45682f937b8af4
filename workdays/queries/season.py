"""What people did this season, for a fair share of the plain work."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.db.models import Count

from workdays.models import CrewPlan, Placement, Workday
from workdays.queries.days import local_date


def did_this_season(day: Workday, people: Iterable[int]) -> Mapping[int, Mapping[str, int]]:
    """Return per person how many stretches of each kind they worked in the year of a day.

    As planned on days that are closed, at all cemeteries; one statement.
    """
    rows = (
        Placement.objects.filter(
            person__in=list(people),
            crew__plan__state=CrewPlan.State.PUBLISHED,
            crew__plan__day__state=Workday.State.CLOSED,
            crew__plan__day__starts_at__lt=day.starts_at,
            crew__plan__day__starts_at__year=local_date(day).year,
            crew__crew_jobs__isnull=False,
        )
        .values("person_id", "crew__crew_jobs__job__kind__key")
        .annotate(stretches=Count("crew", distinct=True))
        .order_by()
    )
    found: dict[int, dict[str, int]] = defaultdict(dict)
    for row in rows:
        found[row["person_id"]][row["crew__crew_jobs__job__kind__key"]] = row["stretches"]
    return found
