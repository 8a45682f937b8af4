"""How rows are named in the facts of a plan, and moments in its quarter hours; and back."""

from datetime import datetime

from workdays.models import Workday
from workdays.rules.morning import SLOT


def person_key(person_id: int) -> str:
    """Return the id of a person in the facts of a plan."""
    return f"p{person_id}"


def job_key(job_id: int) -> str:
    """Return the id of a job in the facts of a plan."""
    return f"j{job_id}"


def row_number(key: str) -> int:
    """Return the row's number from its id in the facts of a plan."""
    return int(key[1:])


def slot_of(day: Workday, moment: datetime) -> int:
    """Return the quarter hour of a moment, counted from the start of the day, rounded down."""
    return (moment - day.starts_at) // SLOT


def nearest_slot(day: Workday, moment: datetime) -> int:
    """Return the quarter hour that begins nearest to a moment."""
    return round((moment - day.starts_at) / SLOT)


def moment_of(day: Workday, slot: int) -> datetime:
    """Return the moment at which a quarter hour begins."""
    return day.starts_at + slot * SLOT
