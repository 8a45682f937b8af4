"""Rows that attempts aim at, by number: the most dangerous of each table first.

Numbers are far apart, so that a number of one table means nothing in another.
"""

from typing import Any

from django.db.models import Model

from tests import factories

NOW = factories.NOW
BARRED_STONE, FINE_STONE, OTHER_STONE, SHEET_STONE, UNSEEN_STONE = 3001, 3002, 3003, 3004, 3009
BARRED, PLANNED, LOOKING, DROPPED, DONE, WAITING = 4001, 4002, 4003, 4004, 4005, 4006
FREED, RAKING = 4007, 4009
SOON, DRAFT, OVER, CALLED_OFF, CLOSED = 5001, 5002, 5003, 5004, 5009
# The last of a table are harmless: rows that stand for tables without any are tied to them.
FIRST: dict[str, tuple[int, ...]] = {
    "stone": (BARRED_STONE, FINE_STONE, OTHER_STONE, SHEET_STONE, UNSEEN_STONE),
    "job": (BARRED, PLANNED, LOOKING, FREED, DROPPED, DONE, WAITING, RAKING),
    "workday": (SOON, DRAFT, OVER, CALLED_OFF, CLOSED),
}


def numbers_of(model: type[Model]) -> list[Any]:
    """Return the numbers of a table's rows, the most dangerous first, the harmless last."""
    first = FIRST.get(model._meta.model_name or "", ())
    there = list(model._default_manager.order_by("pk").values_list("pk", flat=True))
    known = [pk for pk in first if pk in there]
    others = [pk for pk in there if pk not in first]
    return [*known[:-1], *others, *known[-1:]]
