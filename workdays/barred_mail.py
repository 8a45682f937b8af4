"""What is written to organisers when jobs leave a day because they may not be done on it."""

from collections.abc import Sequence
from datetime import datetime

from coordinator import links, outbox
from coordinator.models import Person
from workdays.models import Workday
from workdays.queries.bookings import organisers_for
from workdays.queries.days import local_date
from workdays.rules.wall_clock import day_words

MOST_NAMED = 20


def tell(
    day: Workday,
    gone: Sequence[tuple[int, str]],
    *,
    planned: int,
    by: Person | None,
    now: datetime,
) -> None:
    """Tell the organisers which jobs left a day and why, but for who caused it and sees it so.

    ``gone``: ids of the jobs with a sentence each; ``planned``: how many the published plan held;
    ``by`` None: a command on the machine.
    """
    context = {
        "day": day_words(local_date(day)),
        "place": day.cemetery.name,
        "count": len(gone),
        "planned": planned,
        "sentences": [sentence for _, sentence in gone[:MOST_NAMED]],
        "more": max(0, len(gone) - MOST_NAMED),
        "by": by.name if by else "A command on the machine",
        "plan_url": links.absolute("plan", day.pk),
    }
    # One act may take jobs off a day in several rounds: the first job tells the rounds apart.
    key = f"taken_off:{day.pk}:{now.isoformat()}:{gone[0][0]}"
    for person in organisers_for(day.cemetery_id):
        if by is None or person.pk != by.pk:
            letter = outbox.compose(
                "workdays/mail/taken_off",
                context,
                reason="taken_off",
                to_address=person.email,
                person=person,
            )
            outbox.queue(letter, key=f"{key}:{person.pk}")
