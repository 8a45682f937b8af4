"""Which reasons hold up each job of a cemetery on a date, told by the database itself.

``workdays.rules.readiness`` is the truth; this is its translation, so that ten thousand jobs can
be counted and turned over page by page without reading them. A test compares the two, reason by
reason, over stones and jobs of every sort. Nothing is stored: a worse conclusion counts at once.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import (
    Case,
    DurationField,
    Exists,
    ExpressionWrapper,
    F,
    FilteredRelation,
    IntegerField,
    OuterRef,
    Q,
    Subquery,
    TextField,
    Value,
    When,
)
from django.db.models.expressions import Combinable
from django.db.models.functions import Cast, StrIndex
from django.db.models.lookups import GreaterThan

from workdays.models import Cemetery, CemeterySetting, Conclusion, FamilyLeave, Job, KindOfWork
from workdays.queries.stone_facts import kind_facts
from workdays.rules.kinds import KindFacts
from workdays.rules.leave import PermissionFacts, without_permission
from workdays.rules.readiness import GroundRules, months_later, winter_over_on
from workdays.rules.settings import BY_KEY

# The order in which the rules tell them; each has its bit, so that one number holds them all.
CODES = (
    "permission",
    "family",
    "volunteer-resets",
    "not-seen",
    "leave-alone",
    "conservator",
    "look-again",
    "no-cleaning",
    "prerequisite",
    "waiting",
    "winter",
    "too-early",
    "season",
    "cleaned-lately",
)
BITS = {code: 1 << n for n, code in enumerate(CODES)}
Condition = Q | Exists


@dataclass(frozen=True)
class PlaceRules:
    """What holds for every job of a cemetery: the kinds of work, leave, its settings."""

    place: Cemetery
    kinds: tuple[KindOfWork, ...]
    permissions: tuple[PermissionFacts, ...]
    rules: GroundRules

    def ids(self, asks: Callable[[KindFacts], bool]) -> list[int]:
        """Return the kinds of work that a question about their flags is true of."""
        return [row.pk for row in self.kinds if asks(kind_facts(row))]


def place_rules(place: Cemetery) -> PlaceRules:
    """Return what holds at a cemetery; one statement."""
    rows = KindOfWork.objects.annotate(
        leave=FilteredRelation("permissions", condition=Q(permissions__cemetery=place)),
        starts_on=F("leave__starts_on"),
        ends_on=F("leave__ends_on"),
        own_resets=_setting(place, "volunteer_resets"),
        own_months=_setting(place, "clean_again_months"),
    )
    kinds: dict[int, KindOfWork] = {}
    permissions = []
    resets, months = (BY_KEY[key].default for key in ("volunteer_resets", "clean_again_months"))
    for row in rows:
        kinds[row.pk] = row
        if row.starts_on and row.ends_on:
            permissions.append(PermissionFacts(frozenset({row.key}), row.starts_on, row.ends_on))
        resets = resets if row.own_resets is None else row.own_resets
        months = months if row.own_months is None else row.own_months
    rules = GroundRules(volunteer_resets=resets is True, clean_again_months=int(months))
    return PlaceRules(place, tuple(kinds.values()), tuple(permissions), rules)


def _setting(place: Cemetery, key: str) -> Subquery:
    return Subquery(CemeterySetting.objects.filter(cemetery=place, key=key).values("value")[:1])


def reasons(ground: PlaceRules, *, on: date) -> Cast:
    """Return a sum of BITS to annotate open jobs of one cemetery with; 0: ready on the date.

    As for the rules without a time of day: work begins at midnight, a conservator is there.
    """
    parts: list[Combinable] = [
        Case(When(condition, then=Value(BITS[code])), default=Value(0))
        for code, condition in conditions(ground, on=on).items()
    ]
    total = parts[0]
    for part in parts[1:]:
        total = total + part
    return Cast(total, IntegerField())


def conditions(ground: PlaceRules, *, on: date) -> dict[str, Condition]:
    """Return for each reason the condition under which it holds up a job on a date."""
    return {
        **_of_leave(ground, on),
        **_of_stone(ground, on),
        **_of_others(ground, on),
        **_of_calendar(on),
        "cleaned-lately": _cleaned_lately(ground, on),
    }


def held_up(ground: PlaceRules, *, on: date) -> Q:
    """Return the condition under which any reason holds up an open job on a date."""
    any_of = Q()
    for condition in conditions(ground, on=on).values():
        any_of |= Q(condition)
    return any_of


def _of_leave(ground: PlaceRules, on: date) -> dict[str, Condition]:
    without = ground.ids(lambda kind: bool(without_permission(kind, ground.permissions, on)))
    heavy = ground.ids(lambda kind: kind.heavy and not kind.needs_conservator)
    waits = FamilyLeave.objects.filter(stone=OuterRef("stone"), kinds=OuterRef("kind"))
    return {
        "permission": Q(kind__in=without),
        "family": Exists(waits.exclude(state=FamilyLeave.State.GIVEN)),
        "volunteer-resets": Q(kind__in=[] if ground.rules.volunteer_resets else heavy),
    }


def _of_stone(ground: PlaceRules, on: date) -> dict[str, Condition]:
    hands = Q(stone__isnull=False, kind__in=ground.ids(lambda kind: kind.hands_on))
    seen = hands & Q(stone__conclusion__isnull=False)
    mends = Q(kind__in=ground.ids(lambda kind: kind.needs_conservator))
    return {
        "not-seen": hands & Q(stone__conclusion__isnull=True),
        "leave-alone": seen & Q(stone__conclusion__kind=Conclusion.Kind.LEAVE_ALONE),
        "conservator": seen & ~mends & Q(stone__conclusion__kind=Conclusion.Kind.CONSERVATOR),
        "look-again": seen & Q(stone__conclusion__look_again_on__lt=on),
        "no-cleaning": _wets(ground) & _barred_when_wet(),
    }


def _wets(ground: PlaceRules) -> Q:
    wets = ground.ids(lambda kind: kind.wets and not kind.needs_conservator)
    return Q(stone__isnull=False, kind__in=wets)


def _barred_when_wet() -> Q:
    """Return whether a reason of the conclusion keeps the stone dry.

    Reasons are a list in JSON; the flag is found in its text, where the quotes of a sentence
    that spoke of it would bear a backslash.
    """
    text = Cast("stone__conclusion__reasons", TextField())
    return Q(GreaterThan(StrIndex(text, Value('"bars_wet": true')), 0))


def _of_others(ground: PlaceRules, on: date) -> dict[str, Condition]:
    # Asked job by job, not as lists: a page of fifty stops when it has its fifty.
    links = Job.prerequisites.through.objects.filter(from_job=OuterRef("pk"))
    done = Q(to_job__state=Job.State.DONE, to_job__done_at__isnull=False)
    hours = ExpressionWrapper(
        Cast("from_job__wait_hours", IntegerField()) * Value(timedelta(hours=1)),
        output_field=DurationField(),
    )
    rests = links.filter(done, GreaterThan(F("to_job__done_at") + hours, _midnight(ground, on)))
    winter = _first(lambda day: winter_over_on(day) > on, on - timedelta(days=1000), on)
    winters = links.filter(done, to_job__done_at__gte=_midnight(ground, winter))
    return {
        "prerequisite": Exists(links.exclude(done)),
        "waiting": Q(wait_hours__gt=0) & Q(Exists(rests)),
        "winter": Q(after_winter=True) & Q(Exists(winters)),
    }


def _of_calendar(on: date) -> dict[str, Condition]:
    today = on.month * 100 + on.day
    inside = Q(season_first__lte=today, season_last__gte=today)
    over_new_year = Q(season_first__gt=F("season_last")) & (
        Q(season_first__lte=today) | Q(season_last__gte=today)
    )
    known = Q(season_first__isnull=False, season_last__isnull=False)
    return {
        "too-early": Q(earliest_on__gt=on),
        "season": known & ~(inside | over_new_year),
    }


def _cleaned_lately(ground: PlaceRules, on: date) -> Q:
    """Return whether the stone was cleaned on or after the first day that still counts."""
    months = ground.rules.clean_again_months
    begin = on - timedelta(days=31 * (months + 1))
    since = _first(lambda day: months_later(day, months) > on, begin, on)
    cleaned = Job.objects.filter(
        _wets(ground),
        cemetery=ground.place,
        state=Job.State.DONE,
        done_at__gte=_midnight(ground, since),
    )
    return _wets(ground) & Q(stone__in=cleaned.order_by().values("stone"))


def _first(counts: Callable[[date], bool], begin: date, end: date) -> date:
    """Return the first day from ``begin`` on for which a rule holds, which then holds for good."""
    days = range(begin.toordinal(), end.toordinal() + 1)
    at = bisect_left(days, True, key=lambda day: counts(date.fromordinal(day)))
    return begin + timedelta(days=at)


def _midnight(ground: PlaceRules, on: date) -> datetime:
    return datetime.combine(on, time(), tzinfo=ground.place.zone)
