"""Plan a day from a JSON file with the planner that the pages use, or judge a plan of it."""

import json
import math
import sys
import time
from argparse import ArgumentTypeError
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from workdays.planner.dayfile import day_from_text, plan_from_text
from workdays.planner.rows import NotADayError
from workdays.planner.solve import Limit, Solution, solve
from workdays.planner.writing import plan_to_json
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan
from workdays.watching import ROUNDS

UNLIMITED = 10**9
LONG_SECONDS, CLOSER = 300, 0.25  # a long run keeps this share of its time for a closer bound


class Command(BaseCommand):
    """The plan goes to standard output, value, bound, gap and seconds to standard error."""

    help = "Plan the day in a JSON file, or with --check judge a plan of it."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """File, limits, seed, and what to do."""
        parser.add_argument("day", help="the day as JSON")
        parser.add_argument("--seconds", type=_seconds, help="stop by the clock")
        parser.add_argument("--rounds", type=_rounds, help=f"stop after so many tries ({ROUNDS})")
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--before", metavar="PLAN.json", help="the plan already published")
        parser.add_argument("--check", metavar="PLAN.json", help="only judge this plan")

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, then plan or judge."""
        try:
            facts = day_from_text(_read(options["day"]))
            if options["before"]:
                facts = facts_after(facts, plan_from_text(_read(options["before"])))
            if options["check"]:
                self._check(facts, plan_from_text(_read(options["check"])))
                return
        except NotADayError as error:
            raise CommandError(str(error)) from error
        self._plan(facts, options)

    def _check(self, facts: DayFacts, plan: Plan) -> None:
        found = violations(facts, plan)
        for violation in found:
            self.stderr.write(f"{violation.rule}: {violation.sentence}")
        if found:
            sys.exit(1)
        self.stderr.write(f"The plan breaks no rule. value {value(facts, plan).total}")

    def _plan(self, facts: DayFacts, options: dict[str, Any]) -> None:
        begun = time.monotonic()
        solution = solve(
            facts, seed=options["seed"], limit=limit_from(options), clock=time.monotonic
        )
        self.stdout.write(json.dumps(plan_to_json(solution.plan), indent=1))
        self._report(solution, time.monotonic() - begun)

    def _report(self, solution: Solution, seconds: float) -> None:
        gap = "unknown" if solution.gap is None else f"{100 * solution.gap:.1f}%"
        proved = " (no plan is worth more)" if solution.proved else ""
        self.stderr.write(f"value {solution.value.total}{proved}")
        self.stderr.write(f"bound {'unknown' if solution.bound is None else solution.bound}")
        self.stderr.write(f"gap {gap}")
        self.stderr.write(f"seconds {seconds:.1f}")
        for clash in solution.clashes:
            self.stderr.write(f"{clash.rule}: {clash.sentence}")


def limit_from(options: dict[str, Any]) -> Limit:
    """The limit of a run: by rounds, by the clock, or by whichever comes first."""
    rounds, seconds = options["rounds"], options["seconds"]
    if seconds is None:
        return Limit(rounds=ROUNDS if rounds is None else rounds)
    closer = seconds * CLOSER if seconds >= LONG_SECONDS else 0.0
    most = UNLIMITED if rounds is None else rounds
    return Limit(rounds=most, seconds=seconds, closer=closer)


def facts_after(facts: DayFacts, before: Plan) -> DayFacts:
    """The day on which a plan was already published."""
    return replace(facts, before=before)


def _seconds(text: str) -> float:
    """A time in seconds; raises ArgumentTypeError in a sentence."""
    try:
        found = float(text)
    except ValueError:
        found = -1
    if not 0 <= found < math.inf:
        raise ArgumentTypeError(f"{text} is no number of seconds.")
    return found


def _rounds(text: str) -> int:
    """A number of tries; raises ArgumentTypeError in a sentence."""
    try:
        found = int(text)
    except ValueError:
        found = -1
    if found < 0:
        raise ArgumentTypeError(f"{text} is no number of tries.")
    return found


def _read(name: str) -> bytes:
    try:
        return Path(name).read_bytes()
    except OSError as error:
        raise NotADayError(f"{name} cannot be read: {error.strerror}.") from error
