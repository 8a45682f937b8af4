"""What organisers are written when somebody takes back what they signed."""

from coordinator import links, outbox
from workdays.models import Signature, Workday
from workdays.queries import naming
from workdays.queries.bookings import organisers_for


def tell_organisers(row: Signature, day: Workday) -> None:
    """Tell the organisers of a day that one who is coming has nothing signed that holds."""
    context = {
        "name": row.person.name,
        "day_name": naming.day_name(day),
        "desk_url": links.absolute("day_desk", day.pk),
    }
    for person in organisers_for(day.cemetery_id):
        letter = outbox.compose(
            "workdays/mail/signature_taken_back",
            context,
            reason="a signature was taken back",
            to_address=person.email,
            person=person,
        )
        outbox.queue(letter, key=f"taken-back:{row.pk}:{day.pk}:{person.pk}")
