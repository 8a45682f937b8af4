"""Places that run out and places that become free: what the clock and a withdrawal set off.

Called inside the transaction that holds the day's row, by actions and by the sweep.
"""

from datetime import UTC, datetime, timedelta

from coordinator import audit, links, outbox
from workdays import companions
from workdays.models import Party, SignUp, Workday
from workdays.queries import naming, sign_ups
from workdays.queries.days import hours_words
from workdays.rules import eligibility

OFFER = links.Purpose("take-offer", timedelta(days=30))


def offer_state(sign_up: SignUp) -> str:
    """Return what an offer's link is good for: this offer, not a later one."""
    until = sign_up.held_until.astimezone(UTC).isoformat() if sign_up.held_until else ""
    return f"{sign_up.state} {until}"


def settle(day: Workday, *, now: datetime) -> None:
    """Let go what is over and offer free places in the order of the list."""
    _offer_free_places(day, lapse(day, now=now), now=now)


def lapse(day: Workday, *, now: datetime) -> list[SignUp]:
    """Store as lapsed what was held, offered or unanswered until a moment that has passed.

    Returns the sign-ups that are live then, with their people.
    """
    rows = sign_ups.live_rows(day)
    numbers = {
        *eligibility.lapsed(map(sign_ups.held, rows), now=now),
        *sign_ups.over(rows, now=now),
    }
    for row in rows:
        if row.pk in numbers:
            row.day = day
            _let_go(row, now)
    release_groups(day, now=now)
    return sign_ups.live_rows(day) if numbers else rows


def release_groups(day: Workday, *, now: datetime) -> None:
    """Let go of places that a group has held until a moment that has passed."""
    for party in Party.objects.filter(day=day, held_until__lte=now):
        was, party.reserved, party.held_until = party.reserved, 0, None
        party.save(update_fields=["reserved", "held_until"])
        detail = {"day": day.pk, "places": was}
        audit.record(audit.by_rule("held-until"), "gave places back", party, detail)


def _let_go(row: SignUp, now: datetime) -> None:
    was = SignUp.objects.values_list("state", flat=True).get(pk=row.pk)
    if was == SignUp.State.LAPSED:
        return  # it went with its guardian
    row.state = SignUp.State.LAPSED
    row.save(update_fields=["state", "changed_at"])
    actor = audit.by_rule("held-until")
    audit.record(actor, "lapsed", row, {"day": row.day_id, "was": was})
    companions.give_back(row, was)
    companions.leave_with(row, SignUp.State.LAPSED, actor=actor)


def _offer_free_places(day: Workday, rows: list[SignUp], *, now: datetime) -> None:
    """Offer each free place to the next on the list, by mail."""
    offers = eligibility.next_offers(*sign_ups.line_of(day, rows), now=now)
    by_number = {row.pk: row for row in rows}
    for offer in offers:
        _offer(day, by_number[offer.number], offer.until)


def _offer(day: Workday, row: SignUp, until: datetime) -> None:
    row.state, row.held_until = SignUp.State.OFFERED, until
    row.save(update_fields=["state", "held_until", "changed_at"])
    row.day = day
    companions.follow(row, now=until)
    detail = {"day": day.pk, "until": until.isoformat()}
    audit.record(audit.by_rule("next-on-the-list"), "offered", row, detail)
    if not row.person.email:
        return  # somebody without a mailbox is telephoned; the organiser's page shows the offer
    token = links.make(OFFER, row.pk, offer_state(row))
    context = {
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "until": naming.moment_name(day, until),
        "link": links.absolute("take_offer", token),
    }
    letter = outbox.compose(
        "workdays/mail/offer",
        context,
        reason="a place is free",
        to_address=row.person.email,
        person=row.person,
    )
    outbox.queue(letter, key=f"offer:{row.pk}:{until:%Y%m%dT%H%M%S}")
