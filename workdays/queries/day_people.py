"""The people of one day as those who run it read them, and the parts of that list."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from training.models import Skill
from training.queries import standing_of
from training.rules.standing import Level
from workdays.models import Equipment, SignUp, Workday
from workdays.queries.days import local_date
from workdays.queries.languages import languages_in_words
from workdays.queries.turnout import missed, waivers_in_words
from workdays.rules import desk as rules
from workdays.rules.turnout import HOLDS, Listed, is_within, level_key
from workdays.rules.wall_clock import hour

State = SignUp.State
ORDER = (State.COMING, State.UNCONFIRMED, State.OFFERED, State.WAITING)
PARTS = {
    "coming": "with a place",
    "unsigned": "not signed",
    "minors": "minors",
    "waiting": "no place yet",
    "new": "new to everything",
    "missed": "missed a day before",
}


@dataclass(frozen=True)
class PersonRow:
    """One sign-up of a day, ready to be read. ``standing``: levels by the key of a skill."""

    sign_up: SignUp
    standing: Mapping[str, Level]
    levels: str
    has_waiver: bool
    limits: str
    presence: str
    held_until: str
    waiver: str
    missed: str
    languages: str
    brings: str
    party: str

    @property
    def listed(self) -> Listed:
        """Return what the list is looked through for."""
        return Listed(
            signed=self.has_waiver,
            minor=self.is_minor,
            waits=self.sign_up.state != State.COMING,
            new=self.levels == "new",
            missed=bool(self.missed),
            party=self.sign_up.party_id or 0,
            levels=self.standing,
            brings=frozenset(self.sign_up.brings),
        )

    @property
    def is_minor(self) -> bool:
        """Return whether a guardian must come along."""
        return not self.sign_up.person.is_adult

    @property
    def has_notes(self) -> bool:
        """Return whether there is something to know beside name, level and waiver."""
        row = self.sign_up
        said = (self.limits, self.presence, self.held_until, self.missed, row.words)
        open_ = row.question_open or row.state == State.OFFERED
        return any(said) or open_ or self.is_minor or bool(self.languages or self.brings)


@dataclass(frozen=True)
class Sort:
    """One order of the list: its words and its key."""

    words: str
    key: Callable[[PersonRow], tuple[object, ...]]


def _by_name(row: PersonRow) -> tuple[object, ...]:
    return (row.sign_up.person.name.casefold(), row.sign_up.pk)


def _by_party(row: PersonRow) -> tuple[object, ...]:
    """People of a party stand together, whoever leads it first; who comes alone is last."""
    party = row.sign_up.party
    if party is None:
        return (1, "", 0, 0, *_by_name(row))
    leads = party.leader_id == row.sign_up.person_id
    return (0, party.name.casefold(), party.pk, not leads, *_by_name(row))


def _by_level(row: PersonRow) -> tuple[object, ...]:
    """Who holds the highest level stands first, of these whoever holds most of them."""
    held = sorted((level.value for level in row.standing.values()), reverse=True)
    return ([-value for value in held], *_by_name(row))


def _by_waiver(row: PersonRow) -> tuple[object, ...]:
    """Who must still sign stands first."""
    return (row.has_waiver, row.waiver, *_by_name(row))


SORTS = {
    "name": Sort("name", _by_name),
    "party": Sort("party", _by_party),
    "level": Sort("level", _by_level),
    "waiver": Sort("waiver", _by_waiver),
}


@dataclass(frozen=True)
class PartNames:
    """What skills and equipment are called, by key."""

    skills: Mapping[str, str]
    equipment: Mapping[str, str]


@dataclass(frozen=True)
class ListPart:
    """One part of the list: its key, words, how many. ``is_usual``: offered first."""

    key: str
    words: str
    many: int
    is_usual: bool


def part_names() -> PartNames:
    """Return the names of skills and equipment; two statements."""
    return PartNames(
        dict(Skill.objects.values_list("key", "name")),
        dict(Equipment.objects.values_list("key", "name")),
    )


def sign_ups_of(day: Workday) -> "QuerySet[SignUp]":
    """Return the live sign-ups of a day."""
    rows = SignUp.objects.filter(day=day, state__in=ORDER)
    return rows.select_related("person", "party__leader", "guardian", "wishes")


def people_of(day: Workday, names: PartNames, sort: str = "name") -> list[PersonRow]:
    """Return everybody of the list: who comes first, then who has not answered, who waits.

    ``sort``: one of SORTS, by which each of these is ordered; anything else sorts by name.
    """
    rows = sorted(_people_of(day, names), key=SORTS.get(sort, SORTS["name"]).key)
    return sorted(rows, key=lambda row: ORDER.index(State(row.sign_up.state)))


def _people_of(day: Workday, names: PartNames) -> list[PersonRow]:
    rows = list(sign_ups_of(day))
    many = Counter(row.party_id for row in rows)
    ids = [row.person_id for row in rows]
    standing = standing_of(ids, cemetery_number=day.cemetery_id, on=local_date(day))
    waivers, absent = waivers_in_words(day, ids), missed(day, ids)
    return [
        PersonRow(
            sign_up=row,
            standing=standing[row.person_id],
            levels=rules.level_words(standing[row.person_id], names.skills),
            has_waiver=waivers[row.person_id] in HOLDS,
            waiver=waivers[row.person_id],
            missed=absent.get(row.person_id, ""),
            limits=rules.limits(
                lift=row.cannot_lift, kneel=row.cannot_kneel, stand=row.cannot_stand_long
            ),
            presence=_presence(row, day),
            held_until=_held_until(row, day),
            languages=languages_in_words(row.languages),
            brings=rules.bring_words(row.brings, names.equipment),
            party=rules.party_words(_party(row, many[row.party_id] - 1)),
        )
        for row in rows
    ]


def _party(row: SignUp, others: int) -> rules.PartyFacts | None:
    party = row.party
    if party is None:
        return None
    return rules.PartyFacts(
        name=party.name,
        is_group=party.is_group,
        leader=party.leader.name if party.leader else "",
        is_leader=party.leader_id == row.person_id,
        others=others,
    )


def _presence(sign_up: SignUp, day: Workday) -> str:
    zone = day.cemetery.zone
    parts = []
    if sign_up.comes_at and sign_up.comes_at != day.starts_at:
        parts.append(f"from {hour(sign_up.comes_at.astimezone(zone))}")
    if sign_up.leaves_at and sign_up.leaves_at != day.ends_at:
        parts.append(f"until {hour(sign_up.leaves_at.astimezone(zone))}")
    return " ".join(parts)


def _held_until(sign_up: SignUp, day: Workday) -> str:
    if sign_up.held_until is None:
        return ""
    until = sign_up.held_until.astimezone(day.cemetery.zone)
    return f"{until:%a} {until.day} {until:%b}, {hour(until)}"


def part_of(people: Iterable[PersonRow], show: str) -> list[PersonRow]:
    """Return one part of the list."""
    return [row for row in people if is_within(row.listed, show)]


def parts_of(people: Sequence[PersonRow], names: PartNames) -> list[ListPart]:
    """Return the parts of the list that hold anybody, the usual ones first."""
    parties = {row.sign_up.party_id: row.sign_up.party for row in people}
    named = {pk: party.name or "a party" for pk, party in parties.items() if party}
    usual = PARTS | {f"party-{pk}": name for pk, name in named.items()}
    more = _levels(people, names) | _equipment(people, names)
    counts = [
        ListPart(key, words, len(part_of(people, key)), key in usual)
        for key, words in (usual | more).items()
    ]
    return [one for one in counts if one.many]


def _levels(people: Sequence[PersonRow], names: PartNames) -> dict[str, str]:
    """Return a part for each level above new that somebody holds."""
    held = {(skill, level) for row in people for skill, level in row.standing.items()}
    return {
        level_key(skill, level): rules.level_part(names.skills.get(skill, skill), level)
        for skill, level in sorted(held)
        if level > Level.NEW
    }


def _equipment(people: Sequence[PersonRow], names: PartNames) -> dict[str, str]:
    keys = sorted({key for row in people for key in row.sign_up.brings})
    return {f"brings-{key}": rules.bring_part(names.equipment.get(key, key)) for key in keys}
