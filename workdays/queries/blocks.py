"""The blocks of a day, read once for all who ask."""

from django.db.models import prefetch_related_objects

from workdays.models import Block, Workday


def blocks_of(day: Workday) -> list[Block]:
    """Return the blocks of a day in order; asked again of the same row, they are not read anew."""
    prefetch_related_objects([day], "blocks")
    return sorted(day.blocks.all(), key=lambda block: (block.starts_at, block.pk))


def work_blocks(day: Workday) -> list[Block]:
    """Return the stretches of work of a day in order; their place is their number in a plan."""
    return [block for block in blocks_of(day) if block.kind == Block.Kind.WORK]
