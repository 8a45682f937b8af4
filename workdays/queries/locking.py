"""Lock the row of a day, so that whoever changes what belongs to it does so one after another."""

from workdays.models import Workday


def locked_day(day_id: int) -> Workday:
    """Return a day as it is once nobody else holds its row; inside a transaction.

    The row is read by itself, its cemetery and skill after it: PostgreSQL compares a joined row
    with what it read before it waited, and finds no day that got another cemetery meanwhile.
    """
    return Workday.objects.select_for_update().get(pk=day_id)
