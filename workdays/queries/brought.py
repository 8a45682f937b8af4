"""What people who come bring to a day: for the plan, for who runs it, for the public."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from workdays.models import Block, Equipment, Job, SignUp, Workday
from workdays.queries.sign_ups import coming_by_name
from workdays.rules import brought as rules
from workdays.rules.brought import Bringer, Brought
from workdays.rules.desk import bring_words


@dataclass(frozen=True)
class BroughtBy:
    """What one person brings, in words; ``counts``: they are there for all of the work."""

    name: str
    words: str
    counts: bool


def stretches(blocks: Iterable[Block]) -> list[rules.Stretch]:
    """Return the stretches of work among the blocks of a day."""
    work = Block.Kind.WORK
    return [(block.starts_at, block.ends_at) for block in blocks if block.kind == work]


def brought_by(sign_ups: Iterable[SignUp], work: Sequence[rules.Stretch]) -> Brought:
    """Return what sign-ups bring together; only of those who are coming."""
    rows = [row for row in sign_ups if row.state == SignUp.State.COMING]
    return rules.brought((_bringer(row) for row in rows), work)


def _bringer(row: SignUp) -> Bringer:
    return Bringer(row.brings, row.comes_at, row.leaves_at)


def lines_of(day: Workday, sign_ups: Iterable[SignUp] | None = None) -> list[BroughtBy]:
    """Return who brings what, in the order of the sign-ups; at most three statements."""
    if sign_ups is None:
        sign_ups = coming_by_name(day)
    rows = [row for row in sign_ups if row.brings and row.state == SignUp.State.COMING]
    if not rows:
        return []
    names = dict(Equipment.objects.values_list("key", "name"))
    work = stretches(day.blocks.all())
    return [
        BroughtBy(
            row.person.name,
            bring_words(row.brings, names),
            rules.is_there_throughout(_bringer(row), work),
        )
        for row in rows
    ]


def wanted(day: Workday, blocks: Iterable[Block]) -> list[str]:
    """Return what a day still needs of what people may bring: "2 x bucket with brushes".

    One statement when the day has enough of its own, else three.
    """
    jobs = day.jobs.filter(state=Job.State.OPEN).order_by()
    needs = rules.most_at_once(jobs.values_list("equipment", flat=True).distinct())
    if not rules.missing(needs, day.equipment):
        return []
    coming = SignUp.objects.filter(day=day, state=SignUp.State.COMING).exclude(brings={})
    more = brought_by(coming, stretches(blocks))
    short = rules.missing(needs, rules.together(day.equipment, more.counted))
    rows = Equipment.objects.filter(key__in=list(short), may_be_brought=True)
    return [f"{short[row.key]} x {row.name}" for row in rows]
