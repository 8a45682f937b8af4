"""What happens later about days, by id; each may happen twice without harm."""

from celery import shared_task
from django.utils import timezone

from workdays import drafting
from workdays.models import PlanRun


@shared_task(acks_late=True, time_limit=600)
def run_plan(pk: int) -> None:
    """Carry out one request to plan a day."""
    run = PlanRun.objects.select_related("day__cemetery").filter(pk=pk).first()
    if run is not None:
        drafting.run(run, now=timezone.now())
