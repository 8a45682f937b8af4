"""From which age people sign for themselves: the age of majority where a cemetery lies.

Source: table of the Legal Information Institute as a page on signatures of waivers tells it (second
hand): 18, but 19 in Alabama and Nebraska and 21 in Mississippi. Information, no legal advice: the
law of the place and a lawyer decide.
"""

ADULT_AGE = 18
ADULT_AGES = {"AL": 19, "MS": 21, "NE": 19}
STRICTEST_AGE = max(ADULT_AGES.values())
SOURCE = "Legal Information Institute, ages of majority, second hand"

STATES = {
    "AL": "Alabama", "AK": "Alaska", "AZ": "Arizona", "AR": "Arkansas", "CA": "California",
    "CO": "Colorado", "CT": "Connecticut", "DE": "Delaware", "DC": "District of Columbia",
    "FL": "Florida", "GA": "Georgia", "HI": "Hawaii", "ID": "Idaho", "IL": "Illinois",
    "IN": "Indiana", "IA": "Iowa", "KS": "Kansas", "KY": "Kentucky", "LA": "Louisiana",
    "ME": "Maine", "MD": "Maryland", "MA": "Massachusetts", "MI": "Michigan", "MN": "Minnesota",
    "MS": "Mississippi", "MO": "Missouri", "MT": "Montana", "NE": "Nebraska", "NV": "Nevada",
    "NH": "New Hampshire", "NJ": "New Jersey", "NM": "New Mexico", "NY": "New York",
    "NC": "North Carolina", "ND": "North Dakota", "OH": "Ohio", "OK": "Oklahoma", "OR": "Oregon",
    "PA": "Pennsylvania", "RI": "Rhode Island", "SC": "South Carolina", "SD": "South Dakota",
    "TN": "Tennessee", "TX": "Texas", "UT": "Utah", "VT": "Vermont", "VA": "Virginia",
    "WA": "Washington", "WV": "West Virginia", "WI": "Wisconsin", "WY": "Wyoming",
}  # fmt: skip


def adult_age(state: str) -> int:
    """Return the age, in years, from which somebody signs for themselves in a state.

    ``state``: its two letters. Where none is known the strictest age counts.
    """
    return ADULT_AGES.get(state, ADULT_AGE) if state in STATES else STRICTEST_AGE


def age_words(state: str) -> str:
    """Return the age with its place and source, for the organiser."""
    age = adult_age(state)
    if state not in STATES:
        return (
            f"{age}, the strictest known, because no state is given. A lawyer of the place decides."
        )
    return f"{age} in {STATES[state]} ({SOURCE}). A lawyer of the place decides."
