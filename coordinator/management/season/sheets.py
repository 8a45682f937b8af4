"""A sheet that a class has typed, kept to be brought in: some of its rows have problems."""

from coordinator.management.season.files import FOLDER
from coordinator.models import Person
from workdays.actions.spreadsheets import keep_sheet
from workdays.models import Cemetery
from workdays.queries.spreadsheets import first_mapping
from workdays.spreadsheets.reading import read

NAME = "lower_ground.csv"


def make(place: Cemetery, *, by: Person) -> None:
    """Keep the sheet, read as guessed, with its new section allowed."""
    octets = (FOLDER / NAME).read_bytes()
    mapping = first_mapping(place, read(octets, NAME)).as_json() | {"new_sections": True}
    keep_sheet(place, octets, NAME, mapping=mapping, by=by)
