"""What the public may know of days: lines of the list, the page of one day, feeds."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, F, JSONField, OuterRef, Q, QuerySet, Subquery

from training.models import Skill
from workdays.models import Block, CemeterySetting, Equipment, KindOfWork, Permission, Workday
from workdays.queries import naming
from workdays.queries.days import hours_words, local_date
from workdays.queries.places import places_of
from workdays.rules import settings as cemetery_settings
from workdays.rules.counting import joined
from workdays.rules.day_heading import PublicState, heading, public_state, takes_people
from workdays.rules.eligibility import DayState, OpenDay
from workdays.rules.places import Places
from workdays.rules.wall_clock import day_words, hour
from workdays.rules.young_people import rules_in

FEED_KEEPS = timedelta(days=30)
ONLY_SIGNED_OFF = "At this cemetery only people who are signed off for it"


@dataclass(frozen=True)
class PublicDay:
    """A day as everybody sees it."""

    day: Workday
    heading: str
    state: PublicState
    places: Places
    moved_from: str

    @property
    def takes_people(self) -> bool:
        """Return whether one can sign up, be it for the list."""
        return takes_people(self.state)

    @property
    def is_full(self) -> bool:
        """Return whether only the waiting list is left."""
        return self.state is PublicState.FULL

    @property
    def hours(self) -> str:
        """Return "9:00 to 15:00"."""
        return hours_words(self.day)

    @property
    def purpose(self) -> str:
        """Return "Workday" or "Clinic on gentle cleaning"."""
        return naming.purpose_name(self.day)


@dataclass(frozen=True)
class Work:
    """A kind of work of a day: its sign, name, who may do it, whether the owner wants training."""

    sign: str
    name: str
    who_may: str
    training_demanded: bool
    adults_only: bool = False


def public_days(days: Iterable[Workday], *, now: datetime) -> list[PublicDay]:
    """Return days as the public sees them; two statements whatever their number."""
    rows = list(days)
    places = places_of(rows, now=now)
    return [_public(day, places[day.pk], now) for day in rows]


def _public(day: Workday, places: Places, now: datetime) -> PublicDay:
    today = now.astimezone(day.cemetery.zone).date()
    facts = OpenDay(DayState(day.state), day.starts_at, day.cut_off_at, day.capacity)
    state = public_state(facts, ends_at=day.ends_at, left=places.left, now=now)
    on = day.starts_at.astimezone(day.cemetery.zone).date()
    name = f"{day_words(on, today=today)} at {day.cemetery.name}"
    if day.purpose == Workday.Purpose.CLINIC:
        name += f", {naming.purpose_name(day).lower()}"
    return PublicDay(
        day=day,
        heading=heading(
            state, name, left_words=places.left_words, moved=day.moved_from is not None
        ),
        state=state,
        places=places,
        moved_from=day_words(day.moved_from, today=today) if day.moved_from else "",
    )


def days_to_come(*, now: datetime) -> list[PublicDay]:
    """Return open and called-off days whose end lies ahead; three statements."""
    states = [Workday.State.OPEN, Workday.State.CALLED_OFF]
    days = Workday.objects.filter(state__in=states, ends_at__gt=now)
    return public_days(days.select_related("cemetery", "teaches"), now=now)


def days_of_feed(*, now: datetime) -> list[Workday]:
    """Return what a subscriber sees: days to come, and those of the last weeks."""
    days = Workday.objects.exclude(state=Workday.State.DRAFT).filter(ends_at__gt=now - FEED_KEEPS)
    return list(days.select_related("cemetery", "teaches"))


def blocks(day: Workday) -> list[Block]:
    """Return the stretches of work and the breaks of a day in order; one statement."""
    return list(day.blocks.all())


def breaks(day: Workday, blocks: Iterable[Block]) -> str:
    """Return "lunch at 12:00", or nothing for a day without a break."""
    rows = [block for block in blocks if block.kind == Block.Kind.BREAK]
    zone = day.cemetery.zone
    return ", ".join(f"{row.name} at {hour(row.starts_at.astimezone(zone))}" for row in rows)


def works(day: Workday) -> list[Work]:
    """Return the kinds of work among the day's jobs, or what a clinic teaches; one statement."""
    of_jobs = Q(jobs__days=day)
    taught = Q(skill=day.teaches_id) if day.teaches_id else Q(pk__in=[])
    value = CemeterySetting.objects.filter(cemetery=day.cemetery_id, key="volunteer_resets")
    kinds = (
        KindOfWork.objects.filter(of_jobs | taught)
        .annotate(
            may_reset=Subquery(value.values("value")[:1], output_field=JSONField()),
            training=Exists(_training_demanded(day).filter(kinds=OuterRef("pk"))),
        )
        .order_by("order", "pk")
        .distinct()
    )
    return [
        Work(
            kind.sign,
            kind.name,
            _who_may(kind, kind.may_reset),
            kind.training,
            kind.adults_only or kind.lifts,
        )
        for kind in kinds
    ]


def about_minors(day: Workday, language: str) -> dict[str, object]:
    """Return what a page says to who brings children: work for adults only, their rules.

    ``language``: that of the text to sign, in which the rules are read too where they are known.
    """
    barred = [work.name.lower() for work in works(day) if work.adults_only]
    return {"adults_only": joined(barred), "young_rules": rules_in(language)}


def training_words(works: Iterable[Work]) -> str:
    """Return for what the owner demands training: "gentle cleaning and resetting", or nothing."""
    return joined([work.name.lower() for work in works if work.training_demanded])


def _training_demanded(day: Workday) -> "QuerySet[Permission]":
    on = local_date(day)
    leave = Permission.objects.filter(cemetery=day.cemetery_id, training_demanded=True)
    return leave.filter(starts_on__lte=on, ends_on__gte=on)


def _who_may(kind: KindOfWork, stored: object) -> str:
    default = cemetery_settings.BY_KEY["volunteer_resets"].default
    allowed = default if stored is None else stored
    return kind.who_may if allowed or not kind.needs_supervisor else ONLY_SIGNED_OFF


def there_is(day: Workday) -> list[str]:
    """Return what is found on the ground and what is brought there; at most one statement."""
    cemetery = day.cemetery
    named = [
        ("water", cemetery.water),
        ("toilet", cemetery.toilet),
        ("shade", cemetery.shade),
        ("telephone signal", cemetery.phone_signal),
    ]
    found = [f"{name}: {words}" for name, words in named if words]
    if not day.equipment:
        return found
    rows = Equipment.objects.filter(key__in=list(day.equipment)).order_by(F("order"), "pk")
    return found + [f"{row.name}: {day.equipment[row.key]}" for row in rows]


def skills() -> list[Skill]:
    """Return what people can learn, in order; one statement."""
    return list(Skill.objects.all())


def geo(day: Workday) -> str:
    """Return "42.12345,-83.12345" for a geo: address (RFC 5870), or nothing."""
    latitude, longitude = naming.coordinates(day)
    return "" if latitude is None else f"{latitude:.5f},{longitude:.5f}"
