"""What a plan of a cemetery is drawn from: sections, their stones, what helps to find the way."""

from dataclasses import dataclass

from workdays.drawing import signs
from workdays.drawing.plane import Point


@dataclass(frozen=True)
class StoneFacts:
    """One stone; metres are from the cemetery's origin, None where nobody measured.

    ``type`` and ``state`` as in ``signs.STONE_WORDS`` and ``signs.STATE_WORDS``; ``note`` is
    added to what is read aloud ("also clean"), as is ``reason``, why it is marked ("ready on
    9 May"); ``marked`` draws a line under the stone
    (in the crew's work of today, ready, chosen), ``faded`` draws it weaker (not what was asked
    for); ``crews`` are the names of the crews at work on it; no ``href``, no link.
    """

    number: str
    type: str
    state: str
    href: str = ""
    row: int | None = None
    position: int | None = None
    east_m: float | None = None
    north_m: float | None = None
    note: str = ""
    reason: str = ""
    marked: bool = False
    faded: bool = False
    crews: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Return what is read aloud and shown under the pointer."""
        said = f"Stone {self.number}: {signs.stone(self.type, self.state).words}"
        return ", ".join(filter(None, [said, self.note, self.why]))

    @property
    def type_words(self) -> str:
        """Return the stone's type in words."""
        return signs.STONE_WORDS.get(self.type, self.type)

    @property
    def why(self) -> str:
        """Return what marks it, in words: what is ready, and its crews."""
        return ", ".join(filter(None, [self.reason, *self.crews]))


@dataclass(frozen=True)
class SectionFacts:
    """One section; ``outline`` in metres east and north of the cemetery's origin; may be empty.

    ``href`` opens it; ``note`` stands beside its name (work on the section as a whole), then the
    badges of its ``crews``.
    """

    name: str
    stones: tuple[StoneFacts, ...] = ()
    outline: tuple[Point, ...] = ()
    href: str = ""
    note: str = ""
    crews: tuple[str, ...] = ()


@dataclass(frozen=True)
class LandmarkFacts:
    """What helps to find one's way, in metres: a ``path`` has points, the others one.

    ``kind``: path, gate, water, tree. ``words`` stand beside a gate and water.
    """

    kind: str
    points: tuple[Point, ...]
    words: str = ""


@dataclass(frozen=True)
class CrewFacts:
    """A crew whose stones are marked: its name, and what the key of the picture adds to it."""

    name: str
    words: str = ""


@dataclass(frozen=True)
class GroundFacts:
    """A cemetery to draw. ``title`` is what the picture is called when read aloud."""

    title: str
    sections: tuple[SectionFacts, ...] = ()
    landmarks: tuple[LandmarkFacts, ...] = ()
    crews: tuple[CrewFacts, ...] = ()
