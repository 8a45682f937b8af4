"""How much is read of a file, so that no file takes the machine down. Own figures, no source."""

from workdays.spreadsheets.table import NotASheetError

MOST_BYTES = 10 * 1024 * 1024
MOST_ROWS = 50_000
MOST_COLUMNS = 100
MOST_CELLS = 1_500_000
MOST_LETTERS = 8_000
# A sheet that ends in formatted, empty rows: after so many the reader takes it as ended.
MOST_BLANK_ROWS = 5_000
# An XLSX file is a ZIP archive: what it may unpack to.
MOST_UNPACKED = 200 * 1024 * 1024
MOST_PART = 40 * 1024 * 1024
MOST_PARTS = 1_000
MOST_RATIO = 250
SMALL_PART = 2 * 1024 * 1024


def too_many_rows() -> NotASheetError:
    """Return the sentence for a sheet that is too long."""
    return NotASheetError(
        f"The sheet has more than {MOST_ROWS:,} rows. Nothing was read: split it into files."
    )


def too_many_columns() -> NotASheetError:
    """Return the sentence for a sheet that is too wide."""
    return NotASheetError(
        f"The sheet has more than {MOST_COLUMNS} columns. Nothing was read: delete those that "
        "are not needed."
    )


def check_size(size: int) -> None:
    """Refuse a file by its size alone."""
    if size > MOST_BYTES:
        raise NotASheetError("The file is larger than 10 MB. Nothing was read: split it.")
    if size == 0:
        raise NotASheetError("The file is empty.")


def check_cells(cells: int) -> None:
    """Refuse a sheet by the number of its cells."""
    if cells > MOST_CELLS:
        raise NotASheetError(
            f"The sheet has more than {MOST_CELLS:,} cells. Nothing was read: split it into files."
        )
