"""Build the whole season in order: ground, people, past days, days to come, a booking."""

import random
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction

from coordinator.management.season import (
    chains,
    days,
    families,
    files,
    ground,
    jobs,
    leave,
    past,
    people,
    photographs,
    pieces,
    readings,
    sheets,
    texts,
    waiting,
)
from coordinator.models import Person
from training.models import Skill
from workdays import drafting, invites
from workdays.actions.surveys import record_survey
from workdays.models import Cemetery, Host, Workday

SEED = 20


@dataclass(frozen=True)
class Season:
    """What the demo prints links for."""

    organiser: Person
    supervisor: Person
    volunteer: Person
    host: Host
    next_day: Workday


class Builder:
    """Builds the season step by step; each step stands on the one before."""

    def __init__(self, *, today: date, now: datetime, rounds: int) -> None:
        self.today, self.now, self.rounds = today, now, rounds
        self.dice = random.Random(SEED)  # noqa: S311  # the same season everywhere
        self.lines = files.people()
        self.people: dict[str, Person] = {}
        self.places: dict[str, Cemetery] = {}

    @transaction.atomic
    def build(self) -> Season:
        """Build everything, or nothing."""
        told = files.cemeteries()
        for one in told:
            self.places[one["slug"]] = ground.make_cemetery(one, today=self.today)
        self.people = people.make(self.lines, now=self.now)
        people.teach(self.lines, self.people, today=self.today)
        people.sign(self.lines, self.people, texts.publish(now=self.now), now=self.now)
        for one in told:
            place, by = self.places[one["slug"]], self.people["Ruth Okafor"]
            leave.decide(place, one, by=by, now=self.now)
            self._stones(place, one)
        self._past_days()
        photographs.make(
            self.places["alder-hill"],
            by=self.people["Grace Holloway"],
            now=self.now,
            today=self.today,
        )
        pieces.make(
            self.places["alder-hill"],
            by=self.people["Grace Holloway"],
            now=self.now,
            today=self.today,
        )
        season = self._coming()
        chains.make(self.places["alder-hill"], by=season.organiser, today=self.today, now=self.now)
        leave.ask_families(
            *(self.places["alder-hill"], self.places["north-ridge"]),
            by=season.organiser,
            today=self.today,
            now=self.now,
        )
        sheets.make(self.places["alder-hill"], by=season.organiser)
        families.come(self._second_day(), now=self.now)
        families.share_a_car(season.next_day, season.volunteer, now=self.now)
        families.invite(self.places["north-ridge"], by=season.organiser, now=self.now)
        return season

    def _second_day(self) -> Workday:
        """Return the first day to come at the quieter place, which has places left."""
        days_there = Workday.objects.filter(cemetery=self.places["north-ridge"])
        return days_there.filter(starts_at__gt=self.now).earliest("starts_at")

    def _stones(self, cemetery: Cemetery, told: dict[str, object]) -> None:
        surveyor = self.people["Grace Holloway"]
        made = ground.make_stones(cemetery, told, self.dice)
        for stone, letter in made:
            found = ground.survey_words(letter, stone, self.dice)
            if found is not None:
                on = self.today - timedelta(days=self.dice.randint(40, 160))
                record_survey(stone, {**found, "on": on}, by=surveyor, now=self.now)
                stone.refresh_from_db()
        jobs.make(cemetery, [stone for stone, _ in made], self.dice)
        own = random.Random(SEED)  # noqa: S311  # readings leave the rest of the season as it is
        read = [stone for stone, _ in made]
        readings.make(read, own, by=surveyor, today=self.today, now=self.now)

    def _crowd(self, names: int, *, always: list[str]) -> list[Person]:
        """Return so many people with a waiver, whole families, those named first."""
        by_name = {line.name: line for line in self.lines}
        chosen = list(always)
        rest = [line for line in self.lines[:-3] if line.name not in always and not line.guardian]
        self.dice.shuffle(rest)
        for line in rest:
            if len(chosen) >= names:
                break
            family = [o.name for o in self.lines if o.guardian == line.name]
            chosen += [line.name, *family]
        return [self.people[name] for name in chosen if name in by_name][:names]

    def come(self, day: Workday, crowd: list[Person]) -> None:
        """Sign a crowd up, minors with their guardian."""
        names = {person.name: person for person in crowd}
        guardians = {
            names[line.name].pk: self.people[line.guardian]
            for line in self.lines
            if line.guardian and line.name in names
        }
        parties = {names[line.name].pk: line.party for line in self.lines if line.name in names}
        days.come(day, crowd, guardians, parties, self.dice)

    def _past_days(self) -> None:
        ruth = self.people["Ruth Okafor"]
        hill, ridge = self.places["alder-hill"], self.places["north-ridge"]
        cleaning = Skill.objects.get(key="cleaning")
        weeks = [(10, hill, None), (7, ridge, None), (5, hill, cleaning), (2, hill, None)]
        last = None
        for ago, place, teaches in weeks:
            on = days.saturday_after(self.today - timedelta(weeks=ago + 1))
            day = days.make(days.Plan(place, on, 20, teaches))
            guide = "Ben Lindqvist" if place == hill else "Grace Holloway"
            self.come(day, self._crowd(14, always=["Ruth Okafor", guide]))
            kinds = ["cleaning", "resetting"] if place == hill else ["cleaning"]
            work = days.jobs_for(place, kinds, 9)
            past.work(day, work, staff=ruth, dice=self.dice, rounds=self.rounds)
            last = day
        if last is not None:
            past.countersign(self._judges(), but_for=last)

    def _judges(self) -> dict[str, Person]:
        ruth, ben = self.people["Ruth Okafor"], self.people["Ben Lindqvist"]
        grace, ingrid = self.people["Grace Holloway"], self.people["Ingrid Vale"]
        return {
            "raking": ruth,
            "cleaning": ruth,
            "resetting": ben,
            "recording": grace,
            "mending": ingrid,
        }

    def _coming(self) -> Season:
        hill, ridge = self.places["alder-hill"], self.places["north-ridge"]
        soon = days.saturday_after(self.today + timedelta(days=2))
        first = days.make(days.Plan(hill, soon, 20, None, "At the gate on Quarry Road"))
        self.come(first, self._crowd(14, always=["Ruth Okafor", "Ben Lindqvist", "Ivy Adeyemi"]))
        first.jobs.set(days.jobs_for(hill, ["cleaning", "resetting"], 22))
        second = days.make(days.Plan(ridge, soon + timedelta(weeks=2), 12, None))
        self.come(second, self._crowd(5, always=["Grace Holloway"]))
        second.jobs.set(days.jobs_for(ridge, ["cleaning"], 8))
        cleaning = Skill.objects.get(key="cleaning")
        clinic = days.make(days.Plan(hill, soon + timedelta(weeks=3), 12, cleaning))
        self.come(clinic, self._crowd(4, always=["Ruth Okafor"]))
        clinic.jobs.set(days.jobs_for(hill, ["cleaning"], 4))
        waiting.unsigned(first, [self.people[line.name] for line in self.lines[-2:]], self.now)
        waiting.forecast(first, by=self.people["Ruth Okafor"])
        for day in (first, second, clinic):
            invites.invite_all(day, now=self.now, rescheduled=False)
        drafting.redraft(first, seed=1, by=self.people["Ruth Okafor"], rounds=self.rounds)
        return Season(
            organiser=self.people["Ruth Okafor"],
            supervisor=self.people["Ben Lindqvist"],
            volunteer=self.people["Ivy Adeyemi"],
            host=waiting.booking(cleaning, wished_on=soon + timedelta(weeks=5), now=self.now),
            next_day=first,
        )
