"""What a look ahead at a cemetery starts from, and the facts of one question."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from workdays.models import Cemetery, KindOfWork
from workdays.queries.ahead_people import Turnout, turnout_of
from workdays.queries.ahead_work import Chosen, OpenWork, open_work, pace_of, undone
from workdays.queries.crews import equipment_names
from workdays.queries.ground import settings_of, today_at
from workdays.queries.planning import plan_kind, ratios_of
from workdays.rules.ahead_dates import dates_ahead, stretches
from workdays.rules.ahead_facts import MOST_DAYS, AheadFacts, Usual
from workdays.rules.ahead_help import leader_of
from workdays.rules.brought import most_at_once
from workdays.rules.counting import some
from workdays.rules.facts import KindFacts, PersonFacts, Ratios
from workdays.rules.refusals import Refusal

SATURDAY = 5
USUAL_MONTHS = (4, 10)  # common practice, no source; asked for in the form


@dataclass(frozen=True)
class Question:
    """What is asked for; ``section`` 0 and ``kind`` empty: all of it.

    ``hand``: people who help, who may lead by kind of work, and to how many days of ten each
    comes; None: as on past days. ``unled``: counted is also what nobody who comes may lead.
    """

    section: int
    kind: str
    stones: int | None
    by: date | None
    begins: date
    a_month: int
    hours: float
    months: tuple[int, int]
    hand: tuple[int, Mapping[str, int], int] | None = None
    unled: bool = False


@dataclass(frozen=True)
class AheadGround:
    """Everything about a cemetery that a look ahead starts from."""

    place: Cemetery
    today: date
    work: OpenWork
    turnout: Turnout
    pace: tuple[float, ...]
    kinds: tuple[KindFacts, ...]
    ratios: Ratios
    kit_names: Mapping[str, str]

    @property
    def sections(self) -> list[tuple[int, str]]:
        """Return the sections with open jobs."""
        found = {job.section_id: job.section for job in self.work.jobs.values()}
        rows = sorted(found.values(), key=lambda section: (section.order, section.pk))
        return [(section.pk, section.name) for section in rows]

    @property
    def work_kinds(self) -> list[KindOfWork]:
        """Return the kinds of work with open jobs."""
        found = {job.kind_id: job.kind for job in self.work.jobs.values()}
        return sorted(found.values(), key=lambda kind: (kind.order, kind.pk))

    @property
    def led(self) -> list[KindFacts]:
        """Return the same as facts, in the same order."""
        return [self.kind[kind.key] for kind in self.work_kinds]

    @property
    def kind(self) -> dict[str, KindFacts]:
        """Return all kinds of work by key."""
        return {kind.id: kind for kind in self.kinds}

    @property
    def months(self) -> tuple[int, int]:
        """Return the months of work: April to October, or all where the next day is outside."""
        return USUAL_MONTHS if self.first_day.month in range(4, 11) else (1, 12)

    @property
    def first_day(self) -> date:
        """Return the next day that is planned here, else the Saturday after next week."""
        if self.turnout.next_at:
            return self.turnout.next_at.astimezone(self.place.zone).date()
        return self.today + timedelta(days=7 + (SATURDAY - self.today.weekday()) % 7)


def ahead_ground(place: Cemetery, *, now: datetime) -> AheadGround:
    """Return what is to be done at a cemetery and who comes, read afresh."""
    today, settings = today_at(place, now=now), settings_of(place)
    work = open_work(place, on=today)
    rows = KindOfWork.objects.select_related("skill")
    kinds = tuple(plan_kind(kind, settings) for kind in rows)
    return AheadGround(
        place=place,
        today=today,
        work=work,
        turnout=turnout_of(place, kinds, now=now),
        pace=pace_of(place),
        kinds=kinds,
        ratios=ratios_of(settings),
        kit_names=equipment_names(),
    )


def chosen_work(ground: AheadGround, asked: Question) -> Chosen:
    """Return the jobs that were asked for, with what must come first."""
    ids = [
        pk
        for pk, job in ground.work.jobs.items()
        if asked.section in (0, job.section_id) and asked.kind in ("", job.kind.key)
    ]
    longest = max(stretches(asked.hours))
    return undone(ground.work, ids, longest_slots=longest, max_crew=ground.ratios.max_crew)


def facts_of(ground: AheadGround, asked: Question, chosen: Chosen) -> AheadFacts:
    """Return everything that decides the answer."""
    past = asked.hand is None
    return AheadFacts(
        dates=tuple(
            dates_ahead(asked.begins, a_month=asked.a_month, months=asked.months, count=MOST_DAYS)
        ),
        blocks=stretches(asked.hours),
        undone=chosen.undone,
        people=ground.turnout.people if past else tuple(_by_hand(ground, asked)),
        kinds=ground.kinds,
        ratios=ground.ratios,
        kit=_kit(ground, chosen),
        newcomers=ground.turnout.newcomers if past else (),
        leave=_leave(ground),
        lost=ground.turnout.lost,
        pace=ground.pace,
        stones=asked.stones,
    )


def _by_hand(ground: AheadGround, asked: Question) -> Iterator[Usual]:
    helpers, led, often = asked.hand or (0, {}, 0)
    people = [PersonFacts(f"helper {n}", 0, 0) for n in range(helpers)]
    for key, count in led.items():
        people += [leader_of(ground.kind[key], f"{key} {n}") for n in range(count)]
    return (Usual(person, came=10 * often, days=100) for person in people)


def _kit(ground: AheadGround, chosen: Chosen) -> dict[str, int]:
    """Return what past days had of equipment; of what none ever had, as much as one job takes."""
    return most_at_once(one.job.kit for one in chosen.undone) | dict(ground.turnout.kit)


def _leave(ground: AheadGround) -> dict[str, tuple[tuple[date, date], ...]]:
    rows = ground.work.rules.permissions
    return {
        kind.id: tuple((row.starts_on, row.ends_on) for row in rows if kind.id in row.kinds)
        for kind in ground.kinds
    }


def why_no_answer(chosen: Chosen, facts: AheadFacts) -> list[Refusal]:
    """Return why there is nothing to try; empty: there is."""
    found = []
    if not chosen.undone and not chosen.left_out:
        found.append(Refusal("no-work", "No job of this is to be done here."))
    elif not chosen.undone:
        found.append(Refusal("no-work", "No day can do any of this work as it stands."))
    if not facts.people:
        sentence = "Nobody is known to come: no past day here has a roll. Say below who comes."
        found.append(Refusal("nobody", sentence))
    if facts.stones is not None and chosen.undone and facts.stones > stones_in(chosen):
        few = some(stones_in(chosen), "stone")
        found.append(Refusal("stones", f"Only {few} of this can be finished by days."))
    return found


def stones_in(chosen: Chosen) -> int:
    """Return how many stones the work would finish."""
    return len({one.job.stone for one in chosen.undone if one.job.stone})
