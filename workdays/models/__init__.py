"""Everything that has a date or a place."""

from workdays.models.backlog import Equipment, Job, KindOfWork
from workdays.models.bookings import Booking, Host, Membership
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
from workdays.models.ground import (
    Cemetery,
    CemeterySetting,
    Conclusion,
    Permission,
    Photograph,
    Section,
    Stone,
    Survey,
)
from workdays.models.plans import Crew, CrewJob, CrewPlan, Placement, PlanRun
from workdays.models.weather import Call, Forecast, WeatherLimit

__all__ = [
    "Block",
    "Booking",
    "Call",
    "Cemetery",
    "CemeterySetting",
    "Conclusion",
    "Crew",
    "CrewJob",
    "CrewPlan",
    "Equipment",
    "Forecast",
    "Host",
    "Invite",
    "Job",
    "KindOfWork",
    "Membership",
    "Notice",
    "Party",
    "Permission",
    "Photograph",
    "Placement",
    "PlanRun",
    "RollEntry",
    "Section",
    "SignUp",
    "Signature",
    "Stone",
    "Survey",
    "Waiver",
    "WeatherLimit",
    "Workday",
]
