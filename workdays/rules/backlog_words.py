"""What the page of jobs concludes, as the sentence of its heading, and reasons in few words."""

from dataclasses import dataclass
from typing import Literal

from workdays.rules.counting import some

Show = Literal["ready", "waiting", "over"]
SHOWS: tuple[Show, ...] = ("ready", "waiting", "over")
SHOW_WORDS: dict[Show, str] = {
    "ready": "ready",
    "waiting": "waiting",
    "over": "done or dropped",
}
# The codes of the refusals of readiness, in their order, as a list of reasons names them.
REASON_WORDS = {
    "permission": "no leave of the owner",
    "family": "a family's leave",
    "volunteer-resets": "not for volunteers here",
    "not-seen": "not surveyed yet",
    "leave-alone": "leave alone",
    "conservator": "for a conservator",
    "look-again": "look again first",
    "no-cleaning": "must stay dry",
    "prerequisite": "another job first",
    "waiting": "must rest",
    "winter": "a winter first",
    "too-early": "not before a date",
    "season": "out of season",
    "cleaned-lately": "cleaned lately",
}


@dataclass(frozen=True, slots=True)
class Sought:
    """Which jobs are shown, in words; empty: not asked. ``when``: "today", "on Saturday 9 May"."""

    when: str
    kind: str = ""
    stone: str = ""
    section: str = ""
    reason: str = ""

    @property
    def of(self) -> str:
        """Return what narrows "34 jobs": of which kind, at which stone, in which section."""
        parts = [
            f" of {self.kind[:1].lower()}{self.kind[1:]}" if self.kind else "",
            f" at stone {self.stone}" if self.stone else "",
            f" in {self.section}" if self.section else "",
        ]
        return "".join(parts)


def heading(place: str, show: Show, sought: Sought, *, shown: int, others: int) -> str:
    """Return what holds for the jobs shown; ``others`` wait while ready ones are shown.

    While those that wait are shown, ``others`` are ready.
    """
    are = "is" if shown == 1 else "are"
    begin = f"{place}: {some(shown, 'job')}{sought.of}"
    if show == "over":
        return f"{begin} {are} done or dropped"
    if show == "ready":
        return f"{begin} {are} ready {sought.when}, {others} {_wait(others)}"
    because = f" ({sought.reason})" if sought.reason else ""
    are_ready = "is ready" if others == 1 else "are ready"
    return f"{begin} {_wait(shown)} {sought.when}{because}, {others} {are_ready}"


def _wait(count: int) -> str:
    return "waits" if count == 1 else "wait"
