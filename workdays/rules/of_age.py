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

# What courts made of a waiver that a parent signed for a child, by a page of a body that teaches
# non-profits about risk ("Waivers and Young Participants", undated); three of those that reject
# it are not in the copy that was read.
PARENTS_UPHELD = frozenset({"AZ", "AK", "CA", "CT", "CO", "FL", "IN", "ND", "OH", "MA", "MN", "WI"})
PARENTS_REJECTED = frozenset(
    {"AL", "AR", "HI", "IA", "IL", "LA", "ME", "MI", "MT", "NJ", "PA", "TN", "TX", "UT"}
)
PARENTS_SOURCE = "a page for non-profits, Waivers and Young Participants, undated"


def parents_words(state: str) -> str:
    """Return what is known of a parent's signature for a child, as information only."""
    if state in PARENTS_UPHELD:
        found = f"courts of {STATES[state]} upheld it in some cases ({PARENTS_SOURCE})"
    elif state in PARENTS_REJECTED:
        found = (
            f"courts of {STATES[state]} regularly reject it, but it shows that the risk was told "
            f"({PARENTS_SOURCE})"
        )
    else:
        found = "what courts make of it is not known here"
    return f"A parent's signature for a child: {found}. Ask a lawyer of the place."


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
