"""What the rules know about a kind of work: its flags, never its name."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KindFacts:
    """One kind of work.

    `name` is the work as an activity: "Raking and debris", "Gentle cleaning". A kind that
    `needs_conservator` is mending; `mixed_batch` uses up a batch of mixed material (lime mortar).
    """

    key: str
    name: str
    touches: bool = False
    lifts: bool = False
    digs: bool = False
    wets: bool = False
    adults_only: bool = False
    needs_supervisor: bool = False
    needs_conservator: bool = False
    mixed_batch: bool = False

    @property
    def activity(self) -> str:
        """The name inside a sentence: "gentle cleaning"."""
        return self.name[:1].lower() + self.name[1:]

    @property
    def hands_on(self) -> bool:
        """Whether the work can change the stone; lifting, wetting and digging at it count."""
        return self.touches or self.lifts or self.wets or self.digs or self.mixed_batch

    @property
    def heavy(self) -> bool:
        """Whether bodies work hard: lifting and digging, as in a reset."""
        return self.lifts or self.digs
