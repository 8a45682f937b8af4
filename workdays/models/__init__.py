"""Everything that has a date or a place."""

from workdays.models.backlog import Equipment, Job, KindOfWork, MixedMaterial
from workdays.models.bookings import Booking, Host, Membership
from workdays.models.chains import ChainStep, ChainTemplate, JobTime
from workdays.models.days import (
    Block,
    Invite,
    Notice,
    Party,
    RollEntry,
    Signature,
    SignUp,
    Waiver,
    Workday,
)
from workdays.models.families import FamilyLeave
from workdays.models.ground import (
    Cemetery,
    CemeterySetting,
    Conclusion,
    Permission,
    Section,
    Stone,
    Survey,
)
from workdays.models.kept import Kept
from workdays.models.messages import DayMessage, MessageTo
from workdays.models.openings import OpeningMail
from workdays.models.pictures import Photograph
from workdays.models.pieces import FitJudgement, LoosePiece
from workdays.models.plans import (
    Crew,
    CrewJob,
    CrewPlan,
    KeptApart,
    KeptOut,
    Placement,
    PlanRun,
    StaysOut,
)
from workdays.models.recordings import RecordedFact, Recording
from workdays.models.seats import SeatRequest
from workdays.models.spreadsheets import SheetImport
from workdays.models.staff import Invitation
from workdays.models.weather import Call, Forecast, WeatherLimit

__all__ = [
    "Block",
    "Booking",
    "Call",
    "Cemetery",
    "CemeterySetting",
    "ChainStep",
    "ChainTemplate",
    "Conclusion",
    "Crew",
    "CrewJob",
    "CrewPlan",
    "DayMessage",
    "Equipment",
    "FamilyLeave",
    "FitJudgement",
    "Forecast",
    "Host",
    "Invitation",
    "Invite",
    "Job",
    "JobTime",
    "Kept",
    "KeptApart",
    "KeptOut",
    "KindOfWork",
    "LoosePiece",
    "Membership",
    "MessageTo",
    "MixedMaterial",
    "Notice",
    "OpeningMail",
    "Party",
    "Permission",
    "Photograph",
    "Placement",
    "PlanRun",
    "RecordedFact",
    "Recording",
    "RollEntry",
    "SeatRequest",
    "Section",
    "SheetImport",
    "SignUp",
    "Signature",
    "StaysOut",
    "Stone",
    "Survey",
    "Waiver",
    "WeatherLimit",
    "Workday",
]
