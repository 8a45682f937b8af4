"""Bring a spreadsheet of stones and looks in, with the words of the pages."""

import json
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction
from django.utils import timezone

from coordinator.refused import Refused
from workdays.actions.photographs import files_or_nothing
from workdays.actions.spreadsheets import BroughtIn, bring_in, keep_sheet
from workdays.models import Cemetery
from workdays.queries.ground import today_at
from workdays.queries.spreadsheets import Tried, first_mapping, try_sheet
from workdays.spreadsheets import texts
from workdays.spreadsheets.guessing import with_readings
from workdays.spreadsheets.limits import MOST_BYTES
from workdays.spreadsheets.mapping import Mapping, NotAMappingError, from_text, onto
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.table import NotASheetError, Table
from workdays.spreadsheets.telling import NO_ROWS, NOTHING_NEW, problem_words, summary


class Command(BaseCommand):
    """What the rows lead to goes to standard output, problems to standard error."""

    help = "Bring a CSV or XLSX file of stones and looks at them in, every row or none."

    def add_arguments(self, parser: CommandParser) -> None:
        """File, cemetery, how to read it, and whether to write."""
        parser.add_argument("file", help="a CSV or XLSX file")
        parser.add_argument("--cemetery", required=True, metavar="NAME", help="its name, or slug")
        parser.add_argument("--mapping", metavar="MAP.json", help="how the columns are read")
        parser.add_argument("--dry-run", action="store_true", help="say it, write nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, judge, say, and unless it is a trial bring in."""
        place, octets = _cemetery(options["cemetery"]), _octets(options["file"])
        name = texts.line(Path(options["file"]).name)
        try:
            kept = _kept_mapping(options["mapping"])
            table = read(octets, name, kept.sheet if kept else "")
            mapping = self._mapping(place, table, kept)
        except (NotASheetError, NotAMappingError) as error:
            raise CommandError(str(error)) from error
        if refusals := mapping.refusals():
            raise CommandError(" ".join(refusals))
        tried = try_sheet(place, table, mapping, today=today_at(place, now=timezone.now()))
        self._say(tried)
        if not options["dry_run"]:
            self._bring_in(place, octets, name, mapping, table)

    def _mapping(self, place: Cemetery, table: Table, kept: Mapping | None) -> Mapping:
        """Return the mapping of a file put onto this sheet; without one the guess, told."""
        guessed = first_mapping(place, table)
        if kept:
            return with_readings(table, onto(kept, table, guessed))
        told = json.dumps(guessed.as_json(), indent=1, ensure_ascii=False)
        self.stdout.write(f"The columns are read like this (a file for --mapping):\n{told}")
        return guessed

    def _say(self, tried: Tried) -> None:
        """Say what the rows lead to; end here when one of them has a problem."""
        for sentence in [*tried.notes, *summary(tried.judged)]:
            self.stdout.write(sentence)
        problems = problem_words(tried.judged)
        for sentence in problems:
            self.stderr.write(sentence)
        if problems:
            self.stderr.write("Nothing was brought in.")
            sys.exit(1)
        counts = tried.judged.counts()
        if not counts["new"] + counts["changed"]:
            self.stdout.write(NOTHING_NEW if tried.judged.verdicts else NO_ROWS)
            sys.exit(0 if tried.judged.verdicts else 1)

    def _bring_in(
        self, place: Cemetery, octets: bytes, name: str, mapping: Mapping, table: Table
    ) -> None:
        words = mapping.as_json()
        try:
            with files_or_nothing(), transaction.atomic():
                sheet = keep_sheet(place, octets, name, mapping=words, by=None, table=table)
                done = bring_in(sheet, by=None, now=timezone.now())
        except Refused as refused:
            raise CommandError(str(refused)) from refused
        self._said(done)

    def _said(self, done: BroughtIn) -> None:
        self.stdout.write("It is brought in.")
        for gone in done.taken_off:
            self.stdout.write(gone.sentence)


def _kept_mapping(name: str | None) -> Mapping | None:
    """Return the mapping in a file, by some programs with a mark before it; None without one."""
    return from_text(_octets(name).decode("utf-8-sig", errors="replace")) if name else None


def _cemetery(words: str) -> Cemetery:
    name = texts.line(words)
    found = Cemetery.objects.filter(slug=name).first()
    named = [found] if found else list(Cemetery.objects.filter(name__iexact=name))
    if len(named) == 1:
        return named[0]
    if named:
        slugs = ", ".join(sorted(place.slug for place in named))
        raise CommandError(f"Several cemeteries are called “{name}”; give one of: {slugs}.")
    known = ", ".join(Cemetery.objects.values_list("name", flat=True)) or "none"
    raise CommandError(f"No cemetery is called “{name}”. Known are: {known}.")


def _octets(name: str) -> bytes:
    try:
        with Path(name).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise CommandError(f"{name} cannot be read: {error.strerror}.") from error
