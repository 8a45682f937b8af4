"""The one door from octets to a table."""

from workdays.spreadsheets.content import is_workbook, misnamed
from workdays.spreadsheets.table import Table
from workdays.spreadsheets.text_in import from_text

MOST_NAMED = 12


def read(octets: bytes, name: str = "", sheet: str = "") -> Table:
    """Return the table in a file, by its content whatever its name.

    ``sheet`` names the page of a workbook; a name that is not there is as if none was given.
    Raises NotASheetError, and nothing else, for a file that cannot be read.
    """
    workbook = is_workbook(octets)
    table = _from_workbook(octets, sheet) if workbook else from_text(octets)
    table.notes[:0] = [*misnamed(name, workbook=workbook), *_guessed(table.guessed)]
    return table


def _from_workbook(octets: bytes, sheet: str) -> Table:
    # The library takes a quarter of the start of a process, and few ever read a workbook.
    from workdays.spreadsheets.workbook_in import from_workbook

    return from_workbook(octets, sheet)


def _guessed(rows: tuple[int, ...]) -> list[str]:
    if not rows:
        return []
    named = ", ".join(str(row) for row in rows[:MOST_NAMED])
    more = f" and {len(rows) - MOST_NAMED} more" if len(rows) > MOST_NAMED else ""
    word = "row" if len(rows) == 1 else "rows"
    return [
        f"The file mixes encodings: in {word} {named}{more} letters that are not plain were "
        "guessed. Look at the names there."
    ]
