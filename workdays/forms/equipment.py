"""How many of each equipment something uses, as fields of a form."""

from collections.abc import Mapping
from typing import Any

from workdays.forms.measures import WholeField
from workdays.models import ChainStep, Equipment, Job, SignUp, Workday
from workdays.rules.brought import MOST_BROUGHT

PREFIX = "equipment_"
BRINGS = "brings_"
MOST_FOR_ONE_JOB = 20


def equipment_fields() -> dict[str, WholeField]:
    """Return a field for each equipment of the programme, by its name in the form."""
    return {
        f"{PREFIX}{row.key}": WholeField(row.name, 0, MOST_FOR_ONE_JOB, required=False)
        for row in Equipment.objects.all()
    }


def equipment_in(cleaned: Mapping[str, Any], prefix: str = PREFIX) -> dict[str, int]:
    """Return what was typed, by key of the equipment, as rows hold it: none of it is left out."""
    return {
        name.removeprefix(prefix): count
        for name, count in cleaned.items()
        if name.startswith(prefix) and count
    }


def equipment_initial(row: ChainStep | Job | Workday) -> dict[str, int]:
    """Return what the fields show of a stored row."""
    return {f"{PREFIX}{key}": count for key, count in row.equipment.items()}


def brought_fields() -> dict[str, WholeField]:
    """Return a field for each equipment that people may bring, by its name in the form."""
    return {
        f"{BRINGS}{row.key}": WholeField(
            row.name[:1].upper() + row.name[1:], 0, MOST_BROUGHT, required=False
        )
        for row in Equipment.objects.filter(may_be_brought=True)
    }


def brought_in(cleaned: Mapping[str, Any]) -> dict[str, int]:
    """Return what somebody said that they bring, by key of the equipment."""
    return equipment_in(cleaned, BRINGS)


def brought_initial(row: SignUp) -> dict[str, int]:
    """Return what the fields show of what somebody said before."""
    return {f"{BRINGS}{key}": count for key, count in row.brings.items()}
