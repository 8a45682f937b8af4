"""Pins that clash: found when a plan cannot hold them, kept with the request in words."""

from workdays.broken import Clashing
from workdays.planner.clash import Pin, pin_words, smallest_clash, why_they_clash
from workdays.queries.plan_keys import row_number
from workdays.rules.facts import DayFacts, PersonPin


def look_for_a_clash(facts: DayFacts) -> None:
    """Raise Clashing with the smallest set of pins that no plan could hold, where there is one."""
    clash = smallest_clash(facts)
    if clash:
        raise Clashing(why_they_clash(facts, clash), [_kept(facts, pin) for pin in clash])


def _kept(facts: DayFacts, pin: Pin) -> dict[str, object]:
    """What names a pin in the rows of a plan, and its words."""
    of_person = isinstance(pin, PersonPin)
    key = pin.person if isinstance(pin, PersonPin) else pin.job
    return {
        "what": "person" if of_person else "job",
        "number": row_number(key),
        "block": pin.block,
        "words": f"{pin_words(facts, pin)}.",
        "gone": False,
    }
