"""Which jobs a page was asked for by its address; what makes no sense is said."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from workdays.models import KindOfWork
from workdays.queries.address import AddressReader, query_string
from workdays.queries.backlog_totals import Group
from workdays.rules.backlog_words import REASON_WORDS, SHOWS, Show, Sought
from workdays.rules.numbering import typed_number
from workdays.rules.wall_clock import day_words


@dataclass(frozen=True)
class Asked:
    """What was asked for; ``section`` is an id, 0 for all; ``ignored`` are sentences."""

    today: date
    show: Show = "ready"
    on: date | None = None
    section: int = 0
    kind: KindOfWork | None = None
    reason: str = ""
    stone: str = ""
    page: int = 1
    ignored: tuple[str, ...] = ()

    @property
    def day(self) -> date:
        """Return the date on which jobs are judged."""
        return self.on or self.today

    @property
    def when(self) -> str:
        """Return the date in a sentence: "today", "on Saturday 9 May"."""
        same = self.day == self.today
        return "today" if same else f"on {day_words(self.day, today=self.today)}"

    @property
    def narrowed(self) -> bool:
        """Return whether only some jobs were asked for."""
        return bool(self.on or self.section or self.kind or self.reason or self.stone)

    @property
    def href(self) -> str:
        """Return the address, from the page itself, that asks for the same."""
        given = {
            "show": self.show if self.show != SHOWS[0] else "",
            "on": self.on.isoformat() if self.on else "",
            "section": str(self.section or ""),
            "kind": self.kind.key if self.kind else "",
            "reason": self.reason,
            "stone": self.stone,
            "page": str(self.page) if self.page > 1 else "",
        }
        return f"?{query_string(given)}"

    def showing(self, show: Show, *, reason: str = "") -> "Asked":
        """Return the first page of another list of the same jobs."""
        return replace(self, show=show, reason=reason, page=1)

    def sought(self, rows: Iterable[Group]) -> Sought:
        """Return what was asked for as words."""
        names = {row.section: row.section_name for row in rows}
        return Sought(
            when=self.when,
            kind=self.kind.name if self.kind else "",
            stone=self.stone,
            section=names.get(self.section, ""),
            reason=REASON_WORDS.get(self.reason, ""),
        )

    def holds(self, row: Group) -> bool:
        """Return whether a group is of the section, kind and stone asked for."""
        return (
            (not self.section or row.section == self.section)
            and (self.kind is None or row.kind == self.kind.pk)
            and (not self.stone or row.at_stone)
        )


def asked_first(query: Mapping[str, str], *, today: date) -> Asked:
    """Return what the totals depend on: the date and the stone."""
    reader = AddressReader(query)
    on = reader.coming_day("on", today=today)
    stone = typed_number(query.get("stone", ""))
    return Asked(today=today, on=on, stone=stone, ignored=tuple(reader.ignored))


def asked_whole(
    first: Asked, query: Mapping[str, str], rows: Iterable[Group], kinds: Iterable[KindOfWork]
) -> Asked:
    """Return everything that was asked for; a section where no job was ever noted is none."""
    reader = AddressReader(query, list(first.ignored))
    sections = {str(row.section): row.section for row in rows}
    reason = reader.one_of("reason", {code: code for code in REASON_WORDS}, "no reason to wait")
    shows: dict[str, Show] = {show: show for show in SHOWS}
    show = reader.one_of("show", shows, "no list of jobs")
    found = replace(
        first,
        show="waiting" if reason else show or SHOWS[0],
        section=reader.one_of("section", sections, "no section with jobs here") or 0,
        kind=reader.one_of("kind", {kind.key: kind for kind in kinds}, "no kind of work"),
        reason=reason or "",
        page=reader.small_number("page", "no page of this list") or 1,
    )
    return replace(found, ignored=tuple(reader.ignored))
