"""The crews of a plan as things to pick up and places to put them, for its page."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from django.db.models import Exists, OuterRef

from coordinator.models import Person
from workdays.drawing.signs import Badge, badge
from workdays.models import Block, CrewPlan, Job, KeptOut, SignUp, Workday
from workdays.queries.blocks import work_blocks
from workdays.queries.crews import CrewView, JobView
from workdays.queries.gone import left_since
from workdays.queries.morning import presence_of
from workdays.queries.plan_keys import job_key, person_key, slot_of
from workdays.queries.plan_page import PlanPage
from workdays.queries.sign_ups import coming_by_name
from workdays.queries.so_far import ended_by
from workdays.rules.crew_naming import number_of


@dataclass(frozen=True)
class Chip:
    """A person in a block, or a job: what a hand picks up. ``key`` names it in an address.

    ``planned`` says that it is in a crew; a planned job begins and ends ``from_at`` and ``to_at``.
    """

    key: str
    words: str
    block: int | None = None
    pinned: bool = False
    person: Person | None = None
    job_pk: int | None = None
    planned: bool = True
    from_at: datetime | None = None
    to_at: datetime | None = None


@dataclass(frozen=True)
class Card:
    """A crew in a block; ``key`` picks up the crew, ``to`` is where people and jobs are put."""

    key: str
    crew: CrewView
    people: tuple[Chip, ...]
    jobs: tuple[Chip, ...]
    badge: Badge

    @property
    def words(self) -> str:
        """Return the crew in words."""
        return f"{self.crew.name}, {self.crew.lead.name} leads"

    @property
    def block(self) -> int:
        """Return the number of its block."""
        return self.crew.block_number

    @property
    def to(self) -> str:
        """Return what names it as a target."""
        return self.key[1:]


@dataclass(frozen=True)
class HandBlock:
    """A stretch of work: its crews, and who is in none of them."""

    number: int
    name: str
    cards: tuple[Card, ...]
    free: tuple[Chip, ...]


@dataclass(frozen=True)
class Taken:
    """What is picked up: a chip, or a whole crew."""

    chip: Chip | None = None
    card: Card | None = None
    others: tuple[Person, ...] = ()
    when: str = ""

    @property
    def key(self) -> str:
        """Return its key."""
        return (self.chip or self.card or NOBODY).key

    @property
    def words(self) -> str:
        """Return who or what it is, in words, and in which stretch of work."""
        found = (self.chip or self.card or NOBODY).words
        return f"{found} ({self.when.lower()})" if self.when else found


NOBODY = Chip("", "")


@dataclass(frozen=True)
class Hands:
    """All that can be picked up, and where it can be put."""

    plan: CrewPlan
    blocks: tuple[HandBlock, ...]
    jobs_left: tuple[Chip, ...]
    apart: tuple[tuple[Person, Person], ...]
    gone: tuple[str, ...] = ()

    @property
    def kept_apart(self) -> list[tuple[Person, Person, str]]:
        """Return pairs kept apart, with what picks the first up; empty: one of them is not here."""
        keys = {chip.person.pk: chip.key for chip in self._chips() if chip.person}
        return [
            (one, other, keys.get(one.pk, "") if other.pk in keys else "")
            for one, other in self.apart
        ]

    @cached_property
    def chips(self) -> dict[str, Chip]:
        """Return people and jobs by key."""
        return {chip.key: chip for chip in self._chips()}

    def _chips(self) -> Iterator[Chip]:
        for block in self.blocks:
            yield from block.free
            for card in block.cards:
                yield from (*card.people, *card.jobs)
        yield from self.jobs_left

    @cached_property
    def cards(self) -> dict[str, Card]:
        """Return crews by key."""
        return {card.key: card for block in self.blocks for card in block.cards}

    @cached_property
    def people(self) -> dict[str, Person]:
        """Return everybody of the day by number, in the order of their names."""
        found = {chip.person.pk: chip.person for chip in self._chips() if chip.person}
        ordered = sorted(found.values(), key=lambda person: (person.name, person.pk))
        return {str(person.pk): person for person in ordered}

    def opened(self, at: str, person: int) -> frozenset[str]:
        """Return the crews that a phone shows unfolded: the first, one's own, that of ``at``."""
        first = next(iter(self.cards), "")
        mine = {
            key
            for key, card in self.cards.items()
            if at == key
            or any(at == chip.key for chip in (*card.people, *card.jobs))
            or any(one.pk == person for one in card.crew.people)
        }
        return frozenset({first, *mine})

    def taken(self, key: str) -> Taken | None:
        """Return what a key picks up; None for what is not there."""
        if card := self.cards.get(key):
            return Taken(card=card, when=self.blocks[card.block].name)
        chip = self.chips.get(key)
        if chip is None or chip.block is None:
            return Taken(chip=chip) if chip else None
        others = tuple(one for one in self.people.values() if one != chip.person)
        return Taken(chip=chip, others=others, when=self.blocks[chip.block].name)


def hands_of(day: Workday, page: PlanPage) -> Hands | None:
    """Return what hands can do on a plan; None where there is none.

    Four statements; three more for the rest of a day: who is here, and which work has ended.
    """
    if page.plan is None:
        return None
    plan = page.plan
    out = set(plan.stay_out.values_list("block_id", "person_id"))
    coming = list(coming_by_name(day))
    spans = presence_of(day, coming, plan.begins_at)
    return Hands(
        plan=plan,
        blocks=tuple(
            _block(number, block, page, _there(day, block, coming, spans), out)
            for number, block in enumerate(work_blocks(day))
        ),
        jobs_left=tuple(_jobs_left(day, page)),
        apart=tuple(
            (pair.one, pair.other) for pair in plan.kept_apart.select_related("one", "other")
        ),
        gone=left_since(day, page.crews, coming),
    )


def _block(
    number: int,
    block: Block,
    page: PlanPage,
    there: Iterable[Person],
    out: set[tuple[int, int]],
) -> HandBlock:
    crews = [crew for crew in page.crews if crew.block_number == number]
    # The order on the ground's plan.
    names = sorted({crew.name for crew in page.crews}, key=number_of)
    placed = {person.pk for crew in crews for person in crew.people}
    free = [one for one in there if one.pk not in placed]
    return HandBlock(
        number=number,
        name=block.name,
        cards=tuple(_card(crew, badge(names.index(crew.name), crew.name)) for crew in crews),
        free=tuple(
            _person(one, number, pinned=(block.pk, one.pk) in out, planned=False) for one in free
        ),
    )


def _there(
    day: Workday,
    block: Block,
    coming: Iterable[SignUp],
    spans: Mapping[int, tuple[int, int] | None],
) -> list[Person]:
    """Return who is there for some of a block: as they said, or by the roll once it is kept."""
    begin, end = slot_of(day, block.starts_at), slot_of(day, block.ends_at)
    found = []
    for row in coming:
        span = spans[row.person_id]
        if span and span[0] < end and begin < span[1]:
            found.append(row.person)
    return found


def _person(person: Person, block: int, *, pinned: bool, planned: bool = True) -> Chip:
    key = f"{person_key(person.pk)}.{block}"
    return Chip(key, person.name, block, pinned, person=person, planned=planned)


def _card(crew: CrewView, sign: Badge) -> Card:
    block = crew.block_number
    return Card(
        key=f"c{crew.lead.pk}.{block}",
        crew=crew,
        people=tuple(_person(one, block, pinned=one.pk in crew.pinned) for one in crew.people),
        jobs=tuple(_job(job) for job in crew.jobs),
        badge=sign,
    )


def _job(job: JobView) -> Chip:
    return Chip(
        key=job_key(job.pk),
        words=_words(job.job),
        pinned=job.pinned,
        job_pk=job.pk,
        from_at=job.starts_at,
        to_at=job.ends_at,
    )


def _words(job: Job) -> str:
    return f"{job.kind.name}, {job.where}"


def _jobs_left(day: Workday, page: PlanPage) -> Iterator[Chip]:
    planned = {job.pk for crew in page.crews for job in crew.jobs}
    since = page.plan.begins_at if page.plan else None
    ended = ended_by(day, since) if since else set()
    kept_out = KeptOut.objects.filter(plan=page.plan, job=OuterRef("pk"))
    rows = day.jobs.filter(state=Job.State.OPEN).annotate(kept_out=Exists(kept_out))
    rows = rows.select_related("kind", "section", "stone")
    for job in rows.order_by("-priority", "pk"):
        if job.pk not in planned and job.pk not in ended:
            key, words = job_key(job.pk), _words(job)
            yield Chip(key, words, pinned=job.kept_out, job_pk=job.pk, planned=False)
