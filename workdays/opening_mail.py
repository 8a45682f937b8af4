"""The mail that a day has opened, to whoever asked for it; each ends by one press.

Sources: RFC 2369 (1998), 3.2, and RFC 8058 (2017), 3.1: a List-Unsubscribe address that alone says
whose mails of which list end, with a secret hard to guess; a List-Unsubscribe-Post beside it.
"""

from coordinator import links, outbox
from coordinator.models import SentMessage
from workdays.models import OpeningMail, Workday
from workdays.queries import naming
from workdays.queries.days import hours_words
from workdays.queries.openings import wishes_for


def tell_opened(day: Workday) -> int:
    """Queue one mail for each who asked for it; return how many wishes there are.

    One for each day and person for ever, however often it is called or the day opened.
    """
    wishes = list(wishes_for(day))
    for wish in wishes:
        _mail(day, wish)
    return len(wishes)


def _mail(day: Workday, wish: OpeningMail) -> SentMessage:
    end = links.absolute("no_more", wish.secret)
    context = {
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "purpose": naming.purpose_name(day),
        "place": day.cemetery.name,
        "since": wish.agreed_at.astimezone(day.cemetery.zone),
        "link": links.absolute("own_join", wish.person.secret, day.pk),
        "end": end,
    }
    letter = outbox.compose(
        "workdays/mail/opened",
        context,
        reason="a day has opened",
        to_address=wish.person.email,
        person=wish.person,
        unsubscribe=end,
    )
    return outbox.queue(letter, key=f"opened:{day.pk}:{wish.person_id}")
