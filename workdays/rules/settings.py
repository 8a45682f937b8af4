"""Settings of a cemetery on which published guidance disagrees: default, source, what else is said.

A cemetery that decides otherwise stores its own value with its own source.
"""

from dataclasses import dataclass

Value = bool | int | float | str


@dataclass(frozen=True)
class Setting:
    """One setting: how it is asked, in which unit, its default and where that comes from.

    ``low`` and ``high`` bound numbers, both included; None for yes/no and words.
    """

    key: str
    label: str
    default: Value
    unit: str
    source: str
    also_published: str
    low: float | None = None
    high: float | None = None


SETTINGS: tuple[Setting, ...] = (
    Setting(
        "volunteer_resets",
        "Volunteers help to reset stones",
        False,
        "",
        "South Carolina Department of Archives and History, cemetery handbook, p. 34-35: barred",
        "taught by the federal training centre and several states",
    ),
    Setting(
        "coldest_wet_f",
        "Coldest air and stone for wet work",
        40,
        "F",
        "technical answer of a cleaner maker (name withheld): above 40 F, no freeze for 24 h",
        "55 F (a cemetery's how-to page)",
        32,
        70,
    ),
    Setting(
        "clean_again_months",
        "Cleaning the same stone again, not before",
        18,
        "months",
        "leaflet of a gravestone body, from memory: not more often than every 18 months",
        "a year; 5 years and more; as seldom as possible",
        1,
        240,
    ),
    Setting(
        "water",
        "Water on stones",
        "hose or hand sprayer only",
        "",
        "common practice, no source; National Park Service teaching: no high-pressure washers",
        "100 to 400 psi for buildings, never for graves",
    ),
    Setting(
        "below_ground_fraction",
        "Part of a tablet below ground, for weights",
        0.5,
        "of the height",
        "Strangstad, A Graveyard Preservation Primer: half, the heavier guess",
        "one third (volunteer classes)",
        0,
        0.7,
    ),
    Setting(
        "probing",
        "Probing for buried stones",
        False,
        "",
        "Indiana and Illinois: not without a state permit",
        "open elsewhere",
    ),
    Setting(
        "dig_notice_days",
        "Notice before digging (utility marks)",
        3,
        "working days",
        "state one-call rules: 2 to 3 business days, the longer one",
        "2",
        0,
        30,
    ),
    Setting(
        "new_per_signed_off",
        "New people beside each signed-off cleaner",
        2,
        "people",
        "common practice, no source",
        "up to 12 learners for one teacher (a clinic, 2008)",
        0,
        12,
    ),
    Setting(
        "learners_per_teacher",
        "People new to what a clinic teaches, for each supervisor",
        12,
        "people",
        "a cemetery friends' class, June 2008: at most 12 with one teacher; resetting: see below",
        "no published ratio found",
        1,
        30,
    ),
    Setting(
        "crews_per_supervisor",
        "Resetting crews within reach of one supervisor",
        2,
        "crews",
        "common practice, no source",
        "supervised all day (a restorer's page, 2017)",
        1,
        6,
    ),
    Setting(
        "trainees_per_supervisor",
        "People below signed off beside one supervisor of resetting",
        4,
        "people",
        "common practice, no source: 4 to 6",
        "no published figure found",
        0,
        12,
    ),
    Setting(
        "min_crew",
        "Fewest people in a crew",
        2,
        "people",
        "National Park Service, cemetery preservation course, safety: do not work alone",
        "",
        2,
        6,
    ),
    Setting(
        "max_crew",
        "Most people in a crew",
        6,
        "people",
        "common practice, no source",
        "",
        2,
        12,
    ),
    Setting(
        "lift_limit_lb",
        "Heaviest stone moved without trained riggers and a hoist",
        300,
        "lb",
        "a restoration group's page on tripod hoists: above about 300 lb trained riggers only",
        "",
        20,
        2000,
    ),
    Setting(
        "water_per_cubic_foot",
        "Water to clean with, for each cubic foot of stone",
        1.0,
        "US gal",
        "a restorer's page, undated: at least 1 US gallon; 3 x 3 x 1 ft needs 9",
        "",
        0.5,
        20,
    ),
    Setting(
        "least_water",
        "Least water to clean or mend one stone",
        5.0,
        "US gal",
        "a monument dealer's page, undated (second hand): 5 gallons a stone",
        "less on small markers, by the cubic foot",
        0,
        50,
    ),
    Setting(
        "faces_per_gallon",
        "Faces of stone wetted by one gallon of cleaner as it is used",
        50.0,
        "square feet",
        "common practice, no source",
        "",
        5,
        500,
    ),
    Setting(
        "cleaner_parts",
        "Water to one part of cleaner",
        128,
        "parts",
        "US Navy, MO-913: 1 to 2 tablespoons of nonionic detergent a gallon, the stronger",
        "256 parts (1 tablespoon); other cleaners as their label says, 0 is undiluted",
        0,
        1000,
    ),
    Setting(
        "gravel_bed_in",
        "Gravel under a stone that is reset",
        6.0,
        "inches",
        "common practice, no source: 4 to 6 inches",
        "a bed of gravel without a depth (a friends' group; a preservation body, 2016)",
        0,
        24,
    ),
)

BY_KEY = {setting.key: setting for setting in SETTINGS}
