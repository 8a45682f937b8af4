"""Plain makers of rows, valid by default, nothing random: override what a test is about."""

import hashlib
import uuid
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from itertools import count
from typing import Any

from django.db.models import QuerySet

from coordinator.models import Person, User
from training.models import SignOff, Skill
from workdays.forecasts.sources import as_rows, horizon
from workdays.models import (
    Block,
    Cemetery,
    Conclusion,
    DayMessage,
    FamilyLeave,
    Forecast,
    Host,
    Job,
    KindOfWork,
    LoosePiece,
    Membership,
    MessageTo,
    OpeningMail,
    Party,
    Permission,
    SeatRequest,
    Section,
    Signature,
    SignUp,
    Stone,
    Waiver,
    Workday,
)
from workdays.queries.weather import window_of
from workdays.rules.weather import HourFacts, Thunder

NUMBERS = count(1)
NOW = datetime(2026, 5, 6, 14, 0, tzinfo=UTC)
START = datetime(2026, 5, 9, 13, 0, tzinfo=UTC)
WAIVER_TEXT = "I know that stones are heavy.\n\nI do as the lead says."


def make_user(**overrides: Any) -> User:
    """Make somebody who can log in."""
    return User.objects.create_user(
        **({"email": f"user{next(NUMBERS)}@hollin.example"} | overrides)
    )


def make_person(**overrides: Any) -> Person:
    """Make a confirmed adult with a mailbox and no log-in."""
    n = next(NUMBERS)
    return Person.objects.create(
        **(
            {
                "name": f"Person {n}",
                "email": f"person{n}@volunteers.example",
                "telephone": "555-0100",
                "emergency_name": "Kin Example",
                "emergency_telephone": "555-0101",
                "confirmed_at": NOW,
            }
            | overrides
        )
    )


def make_staff(
    role: str = Membership.Role.ORGANISER, cemetery: Cemetery | None = None, **overrides: Any
) -> Person:
    """Make a person with a log-in and a role, at one cemetery or (None) everywhere."""
    person = make_person(**({"user": make_user()} | overrides))
    Membership.objects.create(person=person, role=role, cemetery=cemetery)
    return person


def make_group(day: Workday, **overrides: Any) -> Party:
    """Make a group whose leader has said yes to five places."""
    values: dict[str, Any] = {"name": "Troop 12", "reserved": 5, "held_until": day.cut_off_at}
    values |= {"leader": overrides.pop("leader", None) or make_person()}
    return Party.objects.create(day=day, is_group=True, **(values | overrides))


def make_message(day: Workday, people: Iterable[Person], **overrides: Any) -> DayMessage:
    """Make a message that was written to people of a day, none of it mailed."""
    values = {"subject": "The gate", "text": "Come in by the lower gate.", "press": uuid.uuid4()}
    message = DayMessage.objects.create(
        **({"day": day, "by": make_person(), "at": NOW, **values} | overrides)
    )
    for person in people:
        MessageTo.objects.create(message=message, person=person)
    return message


def make_cemetery(**overrides: Any) -> Cemetery:
    """Make a cemetery in Detroit's time zone."""
    n = next(NUMBERS)
    return Cemetery.objects.create(
        **(
            {
                "name": f"Alder Hill {n}",
                "slug": f"alder-hill-{n}",
                "owner_name": "Alder Township",
                "time_zone": "America/Detroit",
                "us_state": "MI",
                "address": "12 Quarry Road, Hollin County, upper gate",
            }
            | overrides
        )
    )


def make_section(cemetery: Cemetery | None = None, **overrides: Any) -> Section:
    """Make a section."""
    cemetery = cemetery or make_cemetery()
    return Section.objects.create(
        **({"cemetery": cemetery, "name": f"Section {next(NUMBERS)}"} | overrides)
    )


def make_stone(section: Section | None = None, **overrides: Any) -> Stone:
    """Make a marble tablet of 100 x 50 x 8 cm, not seen yet."""
    section = section or make_section()
    n = next(NUMBERS)
    return Stone.objects.create(
        **(
            {
                "cemetery": section.cemetery,
                "section": section,
                "number": f"S{n}",
                "row": 1,
                "position": n % 2000,  # a form takes no more
                "material": Stone.Material.MARBLE,
                "height_cm": 100,
                "width_cm": 50,
                "thickness_cm": 8,
            }
            | overrides
        )
    )


def conclude(stone: Stone, kind: str = Conclusion.Kind.NEEDS, **overrides: Any) -> Conclusion:
    """Put a conclusion in force for a stone."""
    conclusion = Conclusion.objects.create(
        **({"stone": stone, "kind": kind, "needs": ["clean"]} | overrides)
    )
    stone.conclusion = conclusion
    stone.save(update_fields=["conclusion"])
    return conclusion


def kind(key: str) -> KindOfWork:
    """Return a kind of work seeded by the migration."""
    return KindOfWork.objects.get(key=key)


def skill(key: str) -> Skill:
    """Return a skill seeded by the migration."""
    return Skill.objects.get(key=key)


def make_permission(cemetery: Cemetery, *kinds: str, **overrides: Any) -> Permission:
    """Give leave for kinds of work (all when none is named) for the whole of 2026."""
    permission = Permission.objects.create(
        **(
            {
                "cemetery": cemetery,
                "starts_on": date(2026, 1, 1),
                "ends_on": date(2026, 12, 31),
                "given_by": "Alder Township",
            }
            | overrides
        )
    )
    rows = KindOfWork.objects.filter(key__in=kinds) if kinds else KindOfWork.objects.all()
    permission.kinds.set(rows)
    return permission


def make_family(stone: Stone, *kinds: str, **overrides: Any) -> FamilyLeave:
    """Make a family asked on 3 May 2026 for kinds of work (cleaning when none is named)."""
    family = FamilyLeave.objects.create(
        **(
            {
                "stone": stone,
                "name": "Family Example",
                "state": FamilyLeave.State.ASKED,
                "asked_on": date(2026, 5, 3),
            }
            | overrides
        )
    )
    family.kinds.set(KindOfWork.objects.filter(key__in=kinds or ["cleaning"]))
    return family


def make_piece(cemetery: Cemetery | None = None, **overrides: Any) -> LoosePiece:
    """Make a loose piece of marble, 7.5 cm thick, that is at no stone yet."""
    return LoosePiece.objects.create(
        **(
            {
                "cemetery": cemetery or make_cemetery(),
                "tag": f"P{next(NUMBERS)}",
                "found_on": date(2026, 5, 4),
                "place": "behind the wall",
                "material": Stone.Material.MARBLE,
                "thickness_cm": 7.5,
            }
            | overrides
        )
    )


def make_job(stone: Stone | None = None, kind_key: str = "cleaning", **overrides: Any) -> Job:
    """Make an open job of 60 person-minutes on a stone that needs cleaning."""
    if stone is None:
        stone = make_stone()
        conclude(stone)
    return Job.objects.create(
        **(
            {
                "kind": kind(kind_key),
                "cemetery": stone.cemetery,
                "section": stone.section,
                "stone": stone,
                "person_minutes": 60,
                "fewest": 2,
                "most": 3,
            }
            | overrides
        )
    )


def make_day(cemetery: Cemetery | None = None, **overrides: Any) -> Workday:
    """Make an open workday on Saturday 9 May 2026, 9:00 to 15:00 Detroit, lunch 12:00 to 12:30."""
    cemetery = cemetery or make_cemetery()
    starts_at = overrides.get("starts_at", START)
    day = Workday.objects.create(
        **(
            {
                "cemetery": cemetery,
                "state": Workday.State.OPEN,
                "starts_at": starts_at,
                "ends_at": starts_at + timedelta(hours=6),
                "rain_on": (starts_at + timedelta(days=1)).date(),
                "cut_off_at": starts_at - timedelta(hours=15),
                "call_by_at": starts_at - timedelta(hours=15),
                "meeting_point": "At the gate on Quarry Road",
                "bring": "closed shoes, gloves, water",
            }
            | overrides
        )
    )
    make_blocks(day)
    return day


def make_blocks(day: Workday) -> None:
    """Cut a day of at least four hours into morning, lunch (third to third and a half hour)."""
    noon = day.starts_at + timedelta(hours=3)
    after = noon + timedelta(minutes=30)
    rows = [
        ("morning", Block.Kind.WORK, day.starts_at, noon),
        ("lunch", Block.Kind.BREAK, noon, after),
        ("afternoon", Block.Kind.WORK, after, day.ends_at),
    ]
    for name, kind_of_block, starts_at, ends_at in rows:
        Block.objects.create(
            day=day, name=name, kind=kind_of_block, starts_at=starts_at, ends_at=ends_at
        )


def make_sign_up(day: Workday, person: Person | None = None, **overrides: Any) -> SignUp:
    """Make somebody who is coming."""
    return SignUp.objects.create(
        **(
            {"day": day, "person": person or make_person(), "state": SignUp.State.COMING}
            | overrides
        )
    )


def rewrite_waivers(**values: Any) -> None:
    """Change every published text, as nobody can by the product, for tests of what follows."""
    QuerySet(Waiver).update(**values)


def make_waiver(**overrides: Any) -> Waiver:
    """Make a published waiver for every cemetery."""
    text = overrides.get("text", WAIVER_TEXT)
    return Waiver.objects.create(
        **(
            {
                "title": "What you agree to",
                "version": next(NUMBERS),
                "text": text,
                "text_sha256": hashlib.sha256(text.encode()).hexdigest(),
                "published_at": NOW,
            }
            | overrides
        )
    )


SPANISH_TEXT = (
    "Leo esto antes de venir. Las piedras pesan; escucho a quien dirige y paro si lo dice."
)


def make_translation(first: Waiver, **overrides: Any) -> Waiver:
    """Add Spanish to a published version."""
    same = {"translates": first, "cemetery": first.cemetery, "version": first.version}
    said = {"language": "es", "title": "Lo que acepta", "text": SPANISH_TEXT}
    return make_waiver(**(same | {"validity": first.validity} | said | overrides))


def sign(person: Person, waiver: Waiver | None = None, **overrides: Any) -> Signature:
    """Sign a waiver for oneself, confirmed."""
    waiver = waiver or Waiver.objects.order_by("-version").first() or make_waiver()
    return Signature.objects.create(
        **(
            {
                "waiver": waiver,
                "person": person,
                "signed_by": person,
                "typed_name": person.name,
                "text": waiver.text,
                "text_sha256": waiver.text_sha256,
                "version": waiver.version,
                "language": waiver.language,
                "affirmed": "I have read this and agree.",
                "method": "typed name and a pressed button",
                "signed_at": NOW,
                "confirmed_at": NOW,
            }
            | overrides
        )
    )


def sign_off(
    person: Person, skill_key: str, level: str = "signed_off", **overrides: Any
) -> SignOff:
    """Sign a person off in a skill at every cemetery."""
    return SignOff.objects.create(
        **(
            {"person": person, "skill": skill(skill_key), "level": level, "on": date(2026, 1, 10)}
            | overrides
        )
    )


def make_host(**overrides: Any) -> Host:
    """Make a host with a confirmed mailbox."""
    n = next(NUMBERS)
    return Host.objects.create(
        **(
            {
                "name": f"Society {n}",
                "contact_name": "Ada Contact",
                "email": f"host{n}@hosts.example",
                "confirmed_at": NOW,
            }
            | overrides
        )
    )


def make_forecast(
    day: Workday, *, clock: dict[int, dict[str, Any]] | None = None, **overrides: Any
) -> Forecast:
    """Forecast a mild dry day of 15 C in every hour; ``clock`` overrides hours of its date."""
    mild: dict[str, Any] = {
        "temperature_c": 15,
        "humidity_percent": 50,
        "gust_kmh": 10,
        "thunder": Thunder.NO,
    }
    window = window_of(day)
    hours = []
    for at in (moment.astimezone(day.cemetery.zone) for moment in horizon(window)):
        there = (clock or {}).get(at.hour, {}) if at.date() == window.starts_at.date() else {}
        hours.append(HourFacts(at, **(mild | overrides | there)))
    return Forecast.objects.create(
        day=day, source=Forecast.Source.FILE, hours=as_rows(hours), entered_by=make_person()
    )


def make_opening_mail(person: Person, cemetery: Cemetery, **overrides: Any) -> OpeningMail:
    """Make the wish of somebody to hear of new days at a cemetery."""
    values: dict[str, Any] = {"person": person, "cemetery": cemetery, "agreed_at": NOW}
    return OpeningMail.objects.create(**(values | overrides))


def make_seat_request(rider: SignUp, driver: SignUp | None = None, **values: Any) -> SeatRequest:
    """Make a question of somebody who wants a seat, to somebody who offers three."""
    driver = driver or make_sign_up(rider.day, seats_offered=3, seats_from="Quarry Corners")
    SignUp.objects.filter(pk=rider.pk).update(seats_wanted=1, seats_from="Mill Crossing")
    rider.refresh_from_db(fields=["seats_wanted", "seats_from"])
    given = {"seats": 1, "asked_by_driver": False, "asked_at": NOW} | values
    return SeatRequest.objects.create(driver=driver, rider=rider, **given)
