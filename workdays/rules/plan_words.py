"""What a plan of a cemetery concludes, as the sentence of its heading."""

from dataclasses import dataclass

from workdays.rules.triage import Mark

ONE_NEEDS = {
    Mark.LEAVE_ALONE: "must be left alone",
    Mark.CONSERVATOR: "waits for a conservator",
    Mark.RESET: "needs a reset",
    Mark.CLEAN: "needs cleaning",
    Mark.LOOK_AGAIN: "needs another look",
    Mark.SOUND: "is sound",
    Mark.NOT_SEEN: "has not been seen yet",
}
MANY_NEED = {
    Mark.LEAVE_ALONE: "must be left alone",
    Mark.CONSERVATOR: "wait for a conservator",
    Mark.RESET: "need a reset",
    Mark.CLEAN: "need cleaning",
    Mark.LOOK_AGAIN: "need another look",
    Mark.SOUND: "are sound",
    Mark.NOT_SEEN: "have not been seen yet",
}
DONE_TO = {
    "rake": "raked",
    "clean": "cleaned",
    "reset": "reset",
    "survey": "surveyed",
    "record": "recorded",
    "mend": "mended",
}


@dataclass(frozen=True)
class Sought:
    """What stones were asked for, in words; empty: not asked.

    ``kind`` and ``kind_sign`` are a kind of work and its sign, ``ready`` is "on Saturday 9 May"
    or "today", ``crew`` is "Crew 2" or "the crews", and ``crew_day`` its day's words.
    """

    needs: Mark | None = None
    kind: str = ""
    kind_sign: str = ""
    ready: str = ""
    crew: str = ""
    crew_day: str = ""


def heading(place: str, sought: Sought, *, stones: int, sections: int = 0) -> str:
    """Return what holds for the stones (and whole sections) that were asked for."""
    one = stones + sections <= 1
    return f"{place}: {_subject(stones, sections)} {' and '.join(_verbs(sought, one=one))}"


def heading_of_all(place: str, *, ready: int, alone: int, when: str) -> str:
    """Return what holds where nothing was asked for; ``when`` is "on Saturday 9 May" or "today"."""
    sentence = f"{place}: {_subject(ready, 0)} can be worked {when}"
    return f"{sentence}, {alone} must be left alone" if alone else sentence


def filter_words(sought: Sought) -> str:
    """Return what was asked for, for a sheet of paper; empty where nothing was."""
    asked = [
        sought.needs and f"needs: {sought.needs.value.replace('_', ' ')}",
        sought.kind and f"work: {sought.kind.lower()}",
        sought.ready and f"ready {sought.ready}",
        sought.crew and f"{sought.crew} on {sought.crew_day}",
    ]
    return "; ".join(words for words in asked if words)


def _subject(stones: int, sections: int) -> str:
    if not stones and not sections:
        return "no stone"
    parts = [(stones, "stone"), (sections, "section")]
    return " and ".join(_counted(count, word) for count, word in parts if count)


def _counted(count: int, word: str) -> str:
    return f"1 {word}" if count == 1 else f"{count} {word}s"


def _verbs(sought: Sought, *, one: bool) -> list[str]:
    verbs = []
    if sought.needs:
        verbs.append((ONE_NEEDS if one else MANY_NEED)[sought.needs])
    if sought.crew:
        work = sought.kind.lower() if sought.kind else "work"
        who = f"by {sought.crew} on {sought.crew_day}"
        verbs.append(f"{'has' if one else 'have'} {work} {who}")
    if sought.ready:
        verbs.append(_ready(sought))
    elif sought.kind and not sought.crew:
        verbs.append(f"{'waits' if one else 'wait'} for {sought.kind.lower()}")
    return verbs


def _ready(sought: Sought) -> str:
    if not sought.kind:
        return f"can be worked {sought.ready}"
    done = DONE_TO.get(sought.kind_sign)
    return (
        f"can be {done} {sought.ready}"
        if done
        else f"can have {sought.kind.lower()} {sought.ready}"
    )
