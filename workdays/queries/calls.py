"""What a decision must know of a day, and which decisions were told."""

from datetime import UTC

from workdays.models import Block, Call, RollEntry, Workday
from workdays.queries.weather import counting_forecast, window_of
from workdays.rules.calls import DayToCall
from workdays.rules.day_frame import BlockTimes


def day_to_call(day: Workday) -> DayToCall:
    """Return a day as the rules of deciding see it; three statements."""
    return DayToCall(
        state=day.state,
        window=window_of(day),
        rain_on=day.rain_on,
        has_roll=RollEntry.objects.filter(day=day).exists(),
        has_forecast=counting_forecast(day) is not None,
        blocks=tuple(_times(block) for block in day.blocks.order_by("starts_at", "pk")),
    )


def _times(block: Block) -> BlockTimes:
    is_work = block.kind == Block.Kind.WORK
    starts_at, ends_at = block.starts_at.astimezone(UTC), block.ends_at.astimezone(UTC)
    return BlockTimes(block.name, is_work, starts_at, ends_at)


def page_token(day: Workday) -> str:
    """Return what a page stands on: it changes with every call, forecast and change of times.

    Two statements.
    """
    call = day.calls.values_list("pk", flat=True).first() or 0
    forecast = day.forecasts.values_list("pk", flat=True).first() or 0
    times = f"{day.starts_at.timestamp():.0f}-{day.ends_at.timestamp():.0f}"
    return f"{call}.{forecast}.{day.state}.{times}.{day.rain_on or 'none'}"


def newest_told(day: Workday) -> Call | None:
    """Return the newest decision of which people have a notice."""
    return day.calls.filter(notices__isnull=False).distinct().first()
