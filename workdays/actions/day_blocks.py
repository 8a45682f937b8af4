"""The blocks of a day: laid when it is made, moved with it, with the plans that stand on them."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db.models import F

from coordinator.refused import Refused
from workdays.models import Block, Crew, CrewJob, SignUp, Workday
from workdays.rules.day_frame import BlockTimes
from workdays.rules.refusals import Refusal


def _kind(row: BlockTimes) -> str:
    return Block.Kind.WORK if row.is_work else Block.Kind.BREAK


def set_blocks(day: Workday, rows: Sequence[BlockTimes]) -> None:
    """Give a day its blocks; rows that are there are moved, so that plans keep standing on them.

    When every block moves by the same time, the jobs of its crews move along.
    Raises Refused when blocks would come or go on which crews are planned.
    """
    old = list(day.blocks.order_by("starts_at", "pk"))
    if [block.kind for block in old] != [_kind(row) for row in rows]:
        _replace(day, old, rows)
        return
    shifts = {row.starts_at - b.starts_at for b, row in zip(old, rows, strict=True)}
    shifts |= {row.ends_at - b.ends_at for b, row in zip(old, rows, strict=True)}
    for block, row in zip(old, rows, strict=True):
        Block.objects.filter(pk=block.pk).update(
            name=row.name, starts_at=row.starts_at, ends_at=row.ends_at
        )
    if len(shifts) == 1:
        _shift_crew_jobs(day, shifts.pop())


def _replace(day: Workday, old: Sequence[Block], rows: Sequence[BlockTimes]) -> None:
    if Crew.objects.filter(block__in=old).exists():
        sentence = (
            "Crews are planned around the break: it can be moved, but neither added nor taken away."
        )
        raise Refused([Refusal("blocks_planned", sentence)])
    day.blocks.all().delete()
    Block.objects.bulk_create(
        Block(day=day, name=r.name, kind=_kind(r), starts_at=r.starts_at, ends_at=r.ends_at)
        for r in rows
    )


def _shift_crew_jobs(day: Workday, by: timedelta) -> None:
    if by:
        CrewJob.objects.filter(crew__plan__day=day).update(
            starts_at=F("starts_at") + by, ends_at=F("ends_at") + by
        )


def shift_presence(day: Workday, *, old_start: datetime, new_start: datetime) -> None:
    """Move the hours that people gave themselves along with the start of the day."""
    by = new_start - old_start
    if not by:
        return
    live = SignUp.objects.filter(day=day)
    live.filter(comes_at__isnull=False).update(comes_at=F("comes_at") + by)
    live.filter(leaves_at__isnull=False).update(leaves_at=F("leaves_at") + by)
