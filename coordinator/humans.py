"""Which rows of people are one human being: an organiser joined them, and can part them again.

No row moves when two are joined. Whoever reads what was signed, learnt, done or missed asks here;
whoever erases somebody takes every row of ``same_human``.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from coordinator.models import Person


@dataclass(frozen=True)
class Humans:
    """Some people by number, with the other rows of each; ``into`` holds every join there is."""

    asked: frozenset[int]
    into: Mapping[int, int]
    rows: Mapping[int, frozenset[int]]

    @property
    def every(self) -> list[int]:
        """Return the numbers of all rows of these people."""
        return sorted(set().union(self.asked, *self.rows.values()))

    def whose(self, row: int) -> list[int]:
        """Return those who were asked for and are this human."""
        kept = self.into.get(row, row)
        return sorted(self.rows.get(kept, frozenset({row})) & self.asked)


def humans(ids: Iterable[int]) -> Humans:
    """Return people by number with the other rows of each; one statement."""
    joins = Person.objects.filter(joined_into__isnull=False).order_by()
    into = {pk: kept for pk, kept in joins.values_list("pk", "joined_into") if kept}
    rows: dict[int, set[int]] = defaultdict(set)
    for pk, kept in into.items():
        rows[kept] |= {pk, kept}
    asked = frozenset(ids)
    of_asked = {into.get(pk, pk) for pk in asked}
    return Humans(asked, into, {pk: frozenset(rows[pk] | {pk}) for pk in of_asked})


def kept_row(person: Person) -> int:
    """Return the number of the row by which somebody is known."""
    return person.joined_into_id or person.pk


def is_same(one: Person, other: Person) -> bool:
    """Return whether two rows are one human."""
    return kept_row(one) == kept_row(other)


def same_human(person: Person) -> "QuerySet[Person]":
    """Return all rows of a human, also for use inside another statement."""
    kept = kept_row(person)
    return Person.objects.filter(Q(pk=kept) | Q(joined_into=kept)).order_by("pk")
