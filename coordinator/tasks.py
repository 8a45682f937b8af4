"""What happens later, by id; each may happen twice without harm."""

from celery import shared_task
from django.utils import timezone

from coordinator import mail, sweeping
from coordinator.later import later
from coordinator.models import Heartbeat


@shared_task(acks_late=True, time_limit=120)
def send_message(pk: int) -> None:
    """Deliver one row of the outbox, then those of its thread that waited for it."""
    following: int | None = pk
    while following is not None and mail.deliver(following, now=timezone.now()):
        following = mail.next_in_thread(following)


@shared_task(time_limit=30)
def heartbeat() -> None:
    """Prove that timetable, broker and worker are alive."""
    Heartbeat.objects.update_or_create(name="worker", defaults={"at": timezone.now()})


@shared_task(time_limit=300)
def sweep() -> None:
    """Ring again for mail that was not picked up, then run what other packages added."""
    now = timezone.now()
    for pk in sweeping.due_messages(now):
        later(send_message, pk)
    sweeping.run_sweepers(now, by_worker=True)
