"""What a file is, by its content; its name only tells what somebody thought it is."""

from __future__ import annotations

import io
import zipfile
from pathlib import PurePath

from workdays.spreadsheets import limits
from workdays.spreadsheets.table import NotASheetError

SAVE = "Open it in your spreadsheet program and save it as XLSX or CSV."
# First bytes, by the publishers' format papers: ECMA-376 part 2 (ZIP), MS-CFB 2.2, ISO 32000-1,
# RFC 1952, ITU-T T.81, W3C PNG.
STARTS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF-", f"This is a PDF, not a spreadsheet. {SAVE}"),
    (b"\x1f\x8b", "This is a compressed file. Unpack it first."),
    (b"Rar!", "This is a compressed file. Unpack it first."),
    (b"7z\xbc\xaf", "This is a compressed file. Unpack it first."),
    (b"{\\rtf", f"This is a text document, not a spreadsheet. {SAVE}"),
    (b"\xff\xd8\xff", "This is a picture, not a spreadsheet."),
    (b"\x89PNG", "This is a picture, not a spreadsheet."),
    (b"GIF8", "This is a picture, not a spreadsheet."),
)
OLD_BINARY = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
PAGE_STARTS = (b"<!doctype html", b"<html", b"<table", b"<head", b"<body", b"<?xml", b"<meta")
BOMS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")
ODS = b"application/vnd.oasis.opendocument"


def is_workbook(octets: bytes) -> bool:
    """Return whether the octets are a workbook (XLSX), else text; refuse what is neither."""
    limits.check_size(len(octets))
    for start, sentence in STARTS:
        if octets.startswith(start):
            raise NotASheetError(sentence)
    if octets.startswith(OLD_BINARY):
        raise _old_binary(octets)
    head = octets[:1024]
    for bom in BOMS:
        head = head.removeprefix(bom)
    if head.replace(b"\0", b"").lstrip().lower().startswith(PAGE_STARTS):
        raise NotASheetError(f"This is a web page or XML, whatever its name says. {SAVE}")
    if octets.startswith(b"PK"):
        _check_archive(octets)
        return True
    return False


def misnamed(name: str, *, workbook: bool) -> list[str]:
    """Return a sentence when the end of the name says something else than the content."""
    end = PurePath(name).suffix.lower()
    expected = {".xlsx", ".xlsm"} if workbook else {".csv", ".tsv", ".tab", ".txt"}
    if not end or end in expected:
        return []
    found = "an XLSX file" if workbook else "plain text"
    return [f"The name ends in {end}, but the content is {found}: it was read as that."]


def _old_binary(octets: bytes) -> NotASheetError:
    if ENCRYPTED in octets:
        return NotASheetError(
            "The file is locked with a password. Take the password off and save it again."
        )
    return NotASheetError(f"This is the old binary format (.xls). {SAVE}")


def _check_archive(octets: bytes) -> None:
    """Refuse an archive that is no workbook, or that unpacks to more than is reasonable.

    The declared sizes hold: the unpacker stops at them.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(octets)) as archive:
            parts = archive.infolist()
            if any(part.flag_bits & 1 for part in parts):
                raise NotASheetError("The file is locked with a password. Take it off first.")
            _check_parts(parts)
            names = {part.filename for part in parts}
            if "xl/workbook.xml" not in names:
                raise _no_workbook(octets, names)
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError, EOFError) as error:
        raise NotASheetError(
            "The file is broken: it begins like an XLSX file but cannot be opened. Save it again."
        ) from error


def _check_parts(parts: list[zipfile.ZipInfo]) -> None:
    unpacked = sum(part.file_size for part in parts)
    swollen = any(
        part.file_size > limits.MOST_RATIO * max(part.compress_size, 1)
        for part in parts
        if part.file_size > limits.SMALL_PART
    )
    too_large = any(
        part.file_size > limits.MOST_PART
        for part in parts
        if not part.filename.startswith("xl/worksheets/")
    )
    if unpacked > limits.MOST_UNPACKED or len(parts) > limits.MOST_PARTS or swollen or too_large:
        raise NotASheetError(
            f"The file would unpack to {max(1, unpacked // 1024**2):,} MB. Nothing was unpacked: "
            "save only the sheet with the stones."
        )


def _no_workbook(octets: bytes, names: set[str]) -> NotASheetError:
    if ODS in octets[:200]:
        return NotASheetError(f"This is an OpenDocument file. {SAVE}")
    if "xl/workbook.bin" in names:
        return NotASheetError(f"This is a binary workbook (.xlsb). {SAVE}")
    if "word/document.xml" in names:
        return NotASheetError(f"This is a text document, not a spreadsheet. {SAVE}")
    return NotASheetError("This is an archive without a workbook in it. Unpack it first.")
