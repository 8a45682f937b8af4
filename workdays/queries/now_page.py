"""What the page says on the morning: who is missing, who came, and why no plan can be asked for."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from workdays.models import CrewPlan, Workday
from workdays.queries.morning import comers_of, frame_of
from workdays.queries.plans import published_plan
from workdays.rules import morning as rules
from workdays.rules.morning import Comer, Morning
from workdays.rules.refusals import sentences
from workdays.rules.wall_clock import hour


@dataclass(frozen=True)
class NowPage:
    """The morning of a day as its page shows it; ``why_not``: sentences where nothing is asked."""

    day: Workday
    plan: CrewPlan | None
    found: Morning
    why_not: tuple[str, ...]
    choices: tuple[datetime, ...]
    most_moved: int

    @property
    def zone(self) -> tzinfo:
        """Return the zone of the cemetery."""
        return self.day.cemetery.zone

    @property
    def asked_about(self) -> tuple[Comer, ...]:
        """Return those of whom staff say whether they still come."""
        said = (one for one in self.found.later if one.expected_at is not None)
        return (*self.found.not_here, *said)

    @property
    def gravest(self) -> list[str]:
        """Return who is missing or gone without whom work stops, in sentences."""
        away = (*self.found.not_here, *self.found.left)
        return [f"{one.name} {rules.part_words(one)} and is not here." for one in away
                if rules.part_words(one)]  # fmt: skip

    @property
    def alone(self) -> list[str]:
        """Return what follows for minors whose guardian is not here."""
        return [rules.alone_sentence(minor, guardian) for minor, guardian in self.found.alone]

    @property
    def lists(self) -> list[tuple[str, str]]:
        """Return who came unplanned, left, or said that they come later: words and names."""
        found = self.found
        lists = [
            ("Here and in no crew yet", [one.name for one in found.unplanned]),
            ("Left", [f"{one.name} ({self._clock(one.left_at)})" for one in found.left]),
            ("Come later", [f"{one.name} ({self._clock(self._due(one))})" for one in found.later]),
        ]
        return [(words, ", ".join(names)) for words, names in lists if names]

    def _due(self, comer: Comer) -> datetime:
        return rules.comes_at(comer, frame_of(self.day))

    def _clock(self, moment: datetime | None) -> str:
        return hour(moment.astimezone(self.zone)) if moment else ""


def now_page(day: Workday, *, now: datetime) -> NowPage:
    """Return how the morning of a day stands; a fixed number of statements."""
    frame, plan, comers = frame_of(day), published_plan(day), comers_of(day)
    refusals = rules.refusals_to_look(day.state, frame, now, published=plan is not None)
    planned = sum(comer.planned for comer in comers)
    return NowPage(
        day=day,
        plan=plan,
        found=rules.morning(comers, frame, now),
        why_not=tuple(sentences(refusals)),
        choices=tuple(rules.choices(now, frame)),
        most_moved=rules.usual_most_moved(planned),
    )
