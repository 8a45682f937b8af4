"""Whether the parts of the service are alive: database, queue, age of the last heartbeat."""

from datetime import datetime, timedelta

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe
from kombu.exceptions import OperationalError

from coordinator.celery import app
from coordinator.models import Heartbeat

LATE = timedelta(minutes=5)


def database_answers() -> bool:
    """Return whether the database takes a statement."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return False
    return True


def queue_answers() -> bool:
    """Return whether the broker can be reached."""
    try:
        with app.connection_for_write() as broker:
            broker.ensure_connection(max_retries=1, timeout=2)
    except (OperationalError, OSError):
        return False
    return True


def heartbeat_age(now: datetime) -> timedelta | None:
    """Return how long ago the worker last gave a sign; None if it never did."""
    beat = Heartbeat.objects.filter(name="worker").first()
    return now - beat.at if beat else None


def worker_is_late(now: datetime) -> bool:
    """Return whether mail and plans are not being worked on."""
    age = heartbeat_age(now)
    return age is None or age > LATE


@login_not_required
@require_safe
def health(request: HttpRequest) -> JsonResponse:
    """Answer 200 when all parts work, else 503; no detail that helps a stranger."""
    database = database_answers()
    parts = {
        "database": database,
        "queue": queue_answers(),
        "worker": database and not worker_is_late(timezone.now()),
    }
    return JsonResponse(parts, status=200 if all(parts.values()) else 503)
