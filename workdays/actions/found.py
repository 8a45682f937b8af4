"""Add a stone that nobody knew of: under mud, sod or leaves."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from coordinator.models import Person
from workdays.actions.ground import add_stone
from workdays.models import Cemetery, Stone
from workdays.queries.ground import today_at
from workdays.rules.wall_clock import day_words


def add_found_stone(
    cemetery: Cemetery, values: Mapping[str, Any], *, how: str, by: Person, now: datetime
) -> Stone:
    """Add the stone with how and when it was found as the first line of its notes."""
    today = today_at(cemetery, now=now)
    first = f"Found {how} on {day_words(today)} {today.year}."
    notes = "\n".join(line for line in (first, values.get("notes", "")) if line)
    return add_stone(cemetery, {**values, "notes": notes}, by=by)
