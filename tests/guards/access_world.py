"""People and things for the table of addresses and roles."""

from dataclasses import dataclass
from datetime import date

from coordinator import outbox
from coordinator.models import Person, SentMessage
from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_family,
    make_group,
    make_host,
    make_job,
    make_opening_mail,
    make_permission,
    make_person,
    make_piece,
    make_seat_request,
    make_section,
    make_sign_up,
    make_staff,
    make_stone,
    make_waiver,
    sign,
    sign_off,
    skill,
)
from training.models import SignOff
from workdays.models import (
    Booking,
    Cemetery,
    ChainStep,
    Crew,
    CrewPlan,
    FamilyLeave,
    FitJudgement,
    Host,
    Invitation,
    Job,
    LoosePiece,
    Membership,
    Notice,
    OpeningMail,
    Party,
    Permission,
    Photograph,
    Placement,
    SeatRequest,
    Section,
    SheetImport,
    Signature,
    SignUp,
    Stone,
    Workday,
)


@dataclass
class World:
    """One cemetery with everything in it, and one elsewhere with a supervisor of its own."""

    organiser: Person
    here: Person
    elsewhere: Person
    volunteer: Person
    cemetery: Cemetery
    section: Section
    stone: Stone
    step: ChainStep
    job: Job
    permission: Permission
    family: FamilyLeave
    photograph: Photograph
    piece: LoosePiece
    judgement: FitJudgement
    day: Workday
    sign_up: SignUp
    sign_off: SignOff
    signature: Signature
    notice: Notice
    host: Host
    booking: Booking
    message: SentMessage
    crew: Crew
    seat: SeatRequest
    group: Party
    opening: OpeningMail
    sheet: SheetImport
    invitation: Invitation


def make_world() -> World:
    """Make it."""
    cemetery = make_cemetery()
    permission = make_permission(cemetery)
    make_waiver()
    section = make_section(cemetery)
    stone = make_stone(section)
    day, volunteer, host = make_day(cemetery), make_person(), make_host()
    sign_up = make_sign_up(day, volunteer)
    piece = make_piece(cemetery)
    return World(
        organiser=make_staff(),
        here=make_staff(Membership.Role.SUPERVISOR, cemetery),
        elsewhere=make_staff(Membership.Role.SUPERVISOR, make_cemetery()),
        volunteer=volunteer,
        cemetery=cemetery,
        section=section,
        stone=stone,
        step=ChainStep.objects.earliest("pk"),
        job=make_job(stone),
        permission=permission,
        family=make_family(stone),
        photograph=Photograph.objects.create(stone=stone, taken_on=date(2026, 4, 1)),
        piece=piece,
        judgement=FitJudgement.objects.create(piece=piece, stone=stone, fits=False, at=NOW),
        day=day,
        sign_up=sign_up,
        sign_off=sign_off(volunteer, "raking"),
        signature=sign(volunteer),
        notice=Notice.objects.create(day=day, person=volunteer, reason="weather call"),
        host=host,
        booking=Booking.objects.create(
            host=host,
            cemetery=cemetery,
            skill=skill("cleaning"),
            wished_on=date(2026, 6, 6),
            people=12,
        ),
        message=outbox.queue(
            outbox.Letter(reason="x", to_address="a@b.example", subject="x", text="x"), key="x"
        ),
        crew=make_crew(day, volunteer),
        seat=make_seat_request(sign_up),
        opening=make_opening_mail(volunteer, cemetery),
        group=make_group(sign_up.day, leader=volunteer),
        sheet=SheetImport.objects.create(cemetery=cemetery, file_name="hill.csv"),
        invitation=Invitation.objects.create(
            email="ida@hollin.example", role="supervisor", invited_by=volunteer, invited_at=NOW
        ),
    )


def make_crew(day: Workday, lead: Person) -> Crew:
    """Make a draft plan with one crew of one."""
    plan = CrewPlan.objects.create(day=day)
    crew = Crew.objects.create(plan=plan, block=day.blocks.all()[0], name="Crew 1", lead=lead)
    Placement.objects.create(crew=crew, person=lead)
    return crew
