"""Where a figure or a rule of the trade was published, in a form that a page can show."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """A published place: who says it, where, when.

    `year` None: the place bears no date. No `title`: nothing was published, `body` says so.
    `from_memory`: not read again when the rule was written.
    """

    body: str
    title: str
    year: int | None
    section: str = ""
    from_memory: bool = False

    @property
    def words(self) -> str:
        """Return one line: body, title, section, year."""
        if not self.title:
            return self.body
        parts = [self.body, self.title, self.section, str(self.year or "undated")]
        line = ", ".join(part for part in parts if part)
        return f"{line} (from memory)" if self.from_memory else line


COMMON_PRACTICE = Source("common practice, no source", "", None)
