"""What the owners and two families of the season allow, and what was decided over settings."""

from datetime import date, datetime, time, timedelta
from typing import Any

from coordinator.models import Person
from workdays.actions.ground import change_setting
from workdays.actions.leave import add_family
from workdays.models import Cemetery, Job, KindOfWork, Permission, Stone


def permit(cemetery: Cemetery, told: dict[str, Any], today: date) -> None:
    """Make the permission of a cemetery with its terms; it ends as many days from today."""
    quiet = told.get("quiet")
    begins, ends = (time.fromisoformat(at) for at in quiet) if quiet else (None, None)
    permission = Permission.objects.create(
        cemetery=cemetery,
        starts_on=today - timedelta(days=300),
        ends_on=today + timedelta(days=told["days_left"]),
        given_by=told["given_by"],
        given_on=today - timedelta(days=310),
        terms=told["terms"],
        no_probing=told.get("no_probing", False),
        training_demanded=told.get("training_demanded", False),
        quiet_from=begins,
        quiet_until=ends,
    )
    permission.kinds.set(KindOfWork.objects.filter(key__in=told["kinds"]))


def decide(cemetery: Cemetery, told: dict[str, Any], *, by: Person, now: datetime) -> None:
    """Decide the settings of a cemetery as an organiser does, so that each has its history."""
    for key, (value, source) in told["settings"].items():
        change_setting(cemetery, key, value, source=source, by=by, now=now)


def ask_families(
    asked_at: Cemetery, refused_at: Cemetery, *, by: Person, today: date, now: datetime
) -> None:
    """Note a family that has not answered and one that refused, at stones no day is meant for."""
    asked = {
        "name": "The Dray family",
        "contact": "Ottilie Dray, 555-0171",
        "state": "asked",
        "asked_on": today - timedelta(days=24),
    }
    refused = {
        "name": "The Ives family",
        "contact": "by letter, through the sexton",
        "state": "refused",
        "asked_on": today - timedelta(days=30),
        "answered_on": today - timedelta(days=12),
        "words": "Please leave it as the weather left it.",
    }
    kinds = list(KindOfWork.objects.filter(key__in=["cleaning", "resetting"]))
    for place, values in ((asked_at, asked), (refused_at, refused)):
        add_family(_free_stone(place), values, kinds=kinds, by=by, now=now)


def _free_stone(place: Cemetery) -> Stone:
    jobs = Job.objects.filter(cemetery=place, kind__key="cleaning", state=Job.State.OPEN)
    return Stone.objects.filter(jobs__in=jobs.filter(days=None)).order_by("pk")[0]
