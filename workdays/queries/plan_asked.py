"""What the plan of a cemetery was asked for by its address; what makes no sense is said."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from workdays.models import Cemetery, CrewPlan, KindOfWork, Section, Workday
from workdays.queries.address import AddressReader, query_string
from workdays.queries.ground import today_at
from workdays.rules.crew_naming import number_of
from workdays.rules.plan_words import Sought
from workdays.rules.triage import MARK_WORDS, Mark
from workdays.rules.wall_clock import day_words

ORDERS = ("row", "number")
MOST_DAYS = 6


@dataclass(frozen=True)
class CrewChoice:
    """The crews of a coming day's plan: all of them, or the one named; ``value`` asks for it."""

    value: str
    plan: CrewPlan
    name: str
    words: str
    day_words: str
    lead: str = ""


@dataclass(frozen=True)
class Choices:
    """What a plan can be asked for at this cemetery, now."""

    today: date
    days: tuple[tuple[date, Workday], ...]
    kinds: tuple[KindOfWork, ...]
    crews: tuple[CrewChoice, ...]
    sections: tuple[Section, ...]

    @property
    def marks(self) -> list[tuple[str, str]]:
        """Return the states, gravest first, with their words."""
        return [(mark.value, MARK_WORDS[mark]) for mark in Mark]

    @property
    def next_on(self) -> date:
        """Return the date of the next day, else today."""
        return self.days[0][0] if self.days else self.today

    def when(self, on: date) -> str:
        """Return a date in a sentence: "on Saturday 9 May", or "today"."""
        return "today" if on == self.today else f"on {day_words(on, today=self.today)}"


@dataclass(frozen=True)
class Asked:
    """What was asked for; ``ignored`` are sentences on what made no sense."""

    needs: Mark | None = None
    kind: KindOfWork | None = None
    ready_on: date | None = None
    crew: CrewChoice | None = None
    section: Section | None = None
    part: int = 0
    order: str = ORDERS[0]
    ignored: tuple[str, ...] = ()

    @property
    def filtered(self) -> bool:
        """Return whether stones were asked for, not only a place to look at."""
        return bool(self.needs or self.kind or self.ready_on or self.crew)

    @property
    def address(self) -> str:
        """Return the query string that asks for the same."""
        given = {
            "needs": self.needs.value if self.needs else "",
            "kind": self.kind.key if self.kind else "",
            "ready": self.ready_on.isoformat() if self.ready_on else "",
            "crew": self.crew.value if self.crew else "",
            "section": str(self.section.pk) if self.section else "",
            "part": str(self.part or ""),
            "order": self.order if self.order != ORDERS[0] else "",
        }
        return query_string(given)

    @property
    def href(self) -> str:
        """Return the address, from the page itself, that asks for the same."""
        return f"?{self.address}"

    def at(self, section: Section | None, part: int = 0) -> str:
        """Return the address of another section or part with the same stones asked for."""
        return replace(self, section=section, part=part).href


def choices_at(cemetery: Cemetery, *, now: datetime) -> Choices:
    """Return what can be asked for; five statements whatever there is."""
    today = today_at(cemetery, now=now)
    coming = cemetery.days.filter(ends_at__gt=now, state__in=Workday.COMING).order_by(
        "starts_at", "pk"
    )[:MOST_DAYS]
    days = tuple((day.starts_at.astimezone(cemetery.zone).date(), day) for day in coming)
    return Choices(
        today=today,
        days=days,
        kinds=tuple(KindOfWork.objects.all()),
        crews=_crews({day.pk: day_words(on, today=today) for on, day in days}),
        sections=tuple(cemetery.sections.order_by("order", "pk")),
    )


def _crews(days: Mapping[int, str]) -> tuple[CrewChoice, ...]:
    """Return the crews of each day's plans: of the published one, then of the newest draft."""
    plans = CrewPlan.objects.filter(day__in=days).exclude(state=CrewPlan.State.OLD)
    chosen: dict[int, dict[str, CrewPlan]] = {pk: {} for pk in days}
    for plan in plans.order_by("-state", "-made_at", "-pk").prefetch_related("crews__lead"):
        chosen[plan.day_id].setdefault(plan.state, plan)  # "published" comes before "draft"
    return tuple(
        choice
        for pk, words in days.items()
        for place, plan in enumerate(chosen[pk].values())
        for choice in _of(plan, f"{pk}d" if place else str(pk), words)
    )


def _of(plan: CrewPlan, value: str, words: str) -> list[CrewChoice]:
    """Return all crews of a plan and each; a draft beside a published plan says so by its value."""
    leads = {crew.name: crew.lead.name for crew in plan.crews.all()}
    draft = "" if plan.state == CrewPlan.State.PUBLISHED else " (draft)"
    every = CrewChoice(value, plan, "", f"all crews of {words}{draft}", words)
    return [
        every,
        *(
            CrewChoice(
                *(f"{value}:{name}", plan, name, f"{name} of {words}{draft}", words, leads[name])
            )
            for name in sorted(leads, key=number_of)
        ),
    ]


def asked_of(query: Mapping[str, str], choices: Choices) -> Asked:
    """Return what an address asks for; what makes no sense asks for nothing and is said."""
    reader = AddressReader(query)
    kinds = {kind.key: kind for kind in choices.kinds}
    crews = {crew.value: crew for crew in choices.crews}
    sections = {str(section.pk): section for section in choices.sections}
    marks = {mark.value: mark for mark in Mark}
    orders = {order: order for order in ORDERS}
    found = Asked(
        needs=reader.one_of("needs", marks, "no state of a stone"),
        kind=reader.one_of("kind", kinds, "no kind of work"),
        ready_on=reader.coming_day("ready", today=choices.today),
        crew=reader.one_of("crew", crews, "no crew of a coming day"),
        section=reader.one_of("section", sections, "no section of this cemetery"),
        part=reader.small_number("part", "no part of a section"),
        order=reader.one_of("order", orders, "no order of the table") or ORDERS[0],
    )
    return replace(found, ignored=tuple(reader.ignored))


def sought(asked: Asked, choices: Choices) -> Sought:
    """Return what was asked for as words."""
    return Sought(
        needs=asked.needs,
        kind=asked.kind.name if asked.kind else "",
        kind_sign=asked.kind.sign if asked.kind else "",
        ready=choices.when(asked.ready_on) if asked.ready_on else "",
        crew=(asked.crew.name or "the crews") if asked.crew else "",
        crew_day=asked.crew.day_words if asked.crew else "",
    )
