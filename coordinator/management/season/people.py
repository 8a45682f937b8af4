"""The people of the season: log-ins, roles, sign-offs, clinics they took part in, signatures."""

from datetime import date, datetime, timedelta

from coordinator.management.season.files import PersonLine
from coordinator.models import Person, User
from training.models import ClinicAttendance, SignOff, Skill
from workdays.models import Cemetery, Membership, Signature, Waiver

ROLES = {
    "organiser": (Membership.Role.ORGANISER, None),
    "supervisor": (Membership.Role.SUPERVISOR, "alder-hill"),
    "supervisor-north": (Membership.Role.SUPERVISOR, "north-ridge"),
}
SIGNED = {"signed_off", "supervisor"}


def make(lines: list[PersonLine], *, now: datetime) -> dict[str, Person]:
    """Make everybody; return them by name."""
    made: dict[str, Person] = {}
    for number, line in enumerate(lines):
        made[line.name] = _person(line, number, made, now)
        _roles(made[line.name], line)
    return made


def _person(line: PersonLine, number: int, made: dict[str, Person], now: datetime) -> Person:
    guardian = made.get(line.guardian)
    staff = bool({"organiser", "supervisor", "supervisor-north"} & line.flags)
    return Person.objects.create(
        user=User.objects.create_user(line.mailbox) if staff else None,
        name=line.name,
        email=guardian.email if guardian else line.mailbox,
        telephone="" if guardian else f"555-01{20 + number % 80:02d}",
        emergency_name=guardian.name if guardian else f"Kin of {line.name.split()[0]}",
        emergency_telephone=f"555-01{99 - number % 60:02d}",
        is_adult=line.age is None,
        born_on=_born(line.age, now.date()),
        may_lead="lead" in line.flags,
        is_conservator="conservator" in line.flags,
        languages=line.languages,
        confirmed_at=now - timedelta(days=200),
    )


def _born(age: int | None, today: date) -> date | None:
    # Half a year past the birthday, so that nobody comes of age while the demo is open.
    return today - timedelta(days=age * 365 + 180) if age else None


def _roles(person: Person, line: PersonLine) -> None:
    for flag in sorted(line.flags & ROLES.keys()):
        role, slug = ROLES[flag]
        cemetery = Cemetery.objects.get(slug=slug) if slug else None
        Membership.objects.create(person=person, role=role, cemetery=cemetery)


def teach(lines: list[PersonLine], made: dict[str, Person], *, today: date) -> None:
    """Record sign-offs, and the clinics that come before every other level."""
    skills = {skill.key: skill for skill in Skill.objects.all()}
    organiser = next(made[line.name] for line in lines if "organiser" in line.flags)
    for line in lines:
        for key, level in line.levels.items():
            if level in SIGNED:
                SignOff.objects.create(
                    person=made[line.name],
                    skill=skills[key],
                    level=level,
                    by=organiser,
                    on=today - timedelta(days=300),
                )
            else:
                ClinicAttendance.objects.create(
                    person=made[line.name], skill=skills[key], on=today - timedelta(days=150)
                )


def sign(
    lines: list[PersonLine], made: dict[str, Person], waiver: Waiver, *, now: datetime
) -> None:
    """Sign the waiver for everybody but the last three adults; a guardian signs for a minor."""
    unsigned = {line.name for line in [line for line in lines if line.age is None][-3:]}
    Signature.objects.bulk_create(
        _signature(line, made, waiver, now) for line in lines if line.name not in unsigned
    )


def _signature(
    line: PersonLine, made: dict[str, Person], waiver: Waiver, now: datetime
) -> Signature:
    person = made[line.name]
    signer = made.get(line.guardian, person)
    at = now - timedelta(days=120)
    return Signature(
        waiver=waiver,
        person=person,
        signed_by=signer,
        role=Signature.Role.SELF if signer == person else Signature.Role.GUARDIAN,
        relation="" if signer == person else "parent",
        typed_name=signer.name,
        text=waiver.text,
        text_sha256=waiver.text_sha256,
        version=waiver.version,
        language=waiver.language,
        affirmed="I have read this and I agree.",
        method="mailed link",
        signed_at=at,
        confirmed_at=at,
    )
