"""A spreadsheet that somebody brings in: the file, where its headings are, what columns hold."""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import PurePath
from typing import Any

from crispy_forms.layout import Div, Fieldset
from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.html import escape
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import printable
from workdays.forms.layout import laid_out
from workdays.queries.sheet_pages import ColumnSeen, ColumnsPage
from workdays.spreadsheets.fields import BY_KEY, STONE_FIELDS, SURVEY_FIELDS, Sort
from workdays.spreadsheets.guessing import with_readings
from workdays.spreadsheets.limits import MOST_BYTES
from workdays.spreadsheets.mapping import READINGS, Column, Mapping
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.table import NotASheetError, Table, short
from workdays.spreadsheets.words import ALLOWED, IGNORED

FIELDS = [
    ("", gettext_lazy("not read")),
    (gettext_lazy("of the stone"), [(one.key, one.label) for one in STONE_FIELDS]),
    (gettext_lazy("of a look at it"), [(one.key, one.label) for one in SURVEY_FIELDS]),
]
LEFT_OPEN = ("section", "new_sections", "blank_is_none")
NOT_CHOSEN = ("", gettext_lazy("not chosen yet"))
OF_NO_USE = (IGNORED, gettext_lazy("nothing of use: pass over it"))
READS_HELP = {
    Sort.LENGTH: gettext_lazy("for numbers that name no unit"),
    Sort.METRES: gettext_lazy("from the origin of the cemetery"),
    Sort.DAY: gettext_lazy("for days that can be read both ways"),
}
LAST_ROW = 1_048_576
SELECT = forms.Select(attrs={"class": "form-select"})


class SheetFileForm(forms.Form):
    """A CSV or XLSX file; ``table`` and ``octets`` once it is valid."""

    file = forms.FileField(
        label=gettext_lazy("A CSV or XLSX file"),
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,.xlsm"}),
        help_text=gettext_lazy(
            "Up to 50,000 rows and 10 MB. Nothing changes before you have seen what would."
        ),
        error_messages={"empty": gettext_lazy("The file is empty.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.octets, self.table, self.name = b"", None, ""
        self.helper = laid_out("file", submit=_("Look into this file"), multipart=True)

    table: Table | None

    def clean_file(self) -> "UploadedFile[Any]":
        """Read the whole file, so that what is no sheet is refused here."""
        upload: UploadedFile[Any] = self.cleaned_data["file"]
        self.name = " ".join(printable(PurePath(upload.name or "").name).split())[:160]
        upload.seek(0)
        self.octets = upload.read(MOST_BYTES + 1)
        try:
            self.table = read(self.octets, self.name)
        except NotASheetError as error:
            raise forms.ValidationError(str(error), code="not_a_sheet") from None
        return upload


class HeadingsForm(forms.Form):
    """Which sheet of the workbook is read, and in which row its headings stand."""

    sheet = forms.ChoiceField(label=gettext_lazy("Sheet"), required=False, widget=SELECT)
    header_row = forms.IntegerField(
        label=gettext_lazy("Row of the headings, the last one where they take two"),
        min_value=1,
        max_value=LAST_ROW,
    )
    header_lines = forms.TypedChoiceField(
        label=gettext_lazy("The headings take"),
        choices=[("1", gettext_lazy("one row")), ("2", gettext_lazy("two rows"))],
        coerce=int,
        widget=SELECT,
    )

    def __init__(self, *args: Any, page: ColumnsPage, **kwargs: Any) -> None:
        mapping = page.mapping
        initial = {"sheet": mapping.sheet, "header_row": mapping.header_row}
        initial["header_lines"] = str(mapping.header_lines)
        super().__init__(*args, **({"initial": initial, "prefix": "where"} | kwargs))
        self.table = page.table
        names = page.table.sheets
        if len(names) > 1:
            self.fields["sheet"].choices = [(one, one) for one in names]  # type: ignore[attr-defined]  # its class
        else:
            del self.fields["sheet"]
        self.helper = laid_out(*self.fields, submit=_("Read the headings there"))
        self.helper.layout.fields[-1].name = "where"

    def clean_header_row(self) -> int:
        """Refuse a row beyond the end, and a second row of headings that has none above it."""
        row: int = self.cleaned_data["header_row"]
        last = self.table.rows[-1].number
        if row > last and self.cleaned_data.get("sheet", self.table.sheet) == self.table.sheet:
            sentence = _("The sheet ends at row %(last)s.") % {"last": f"{last:,}"}
            raise forms.ValidationError(sentence)
        if row == 1 and self.data.get(self.add_prefix("header_lines")) == "2":
            raise forms.ValidationError(_("Above row 1 there is no other row."))
        return row


def stamp_of(columns: Iterable[Column]) -> str:
    """Return a word that is another one when the headings are others."""
    heads = "\n".join(column.heading for column in columns)
    return hashlib.sha256(heads.encode(errors="replace")).hexdigest()[:16]


def word_name(key: str, word: str) -> str:
    """Return the name of the field that says what a word stands for."""
    return f"word_{key}_{hashlib.sha256(word.encode(errors='replace')).hexdigest()[:12]}"


class ColumnsForm(forms.Form):
    """What each column holds, how it is read, and what words of the sheet stand for."""

    heads = forms.CharField(widget=forms.HiddenInput, required=False)
    section = forms.ChoiceField(
        label=gettext_lazy("Section of new stones that name none"), required=False, widget=SELECT
    )
    new_sections = forms.BooleanField(
        label=gettext_lazy("Make the sections that are not here yet"), required=False
    )
    blank_is_none = forms.BooleanField(
        label=gettext_lazy("Where a look has no signs written down, none were seen"),
        required=False,
    )

    def __init__(self, *args: Any, page: ColumnsPage, **kwargs: Any) -> None:
        self.page, mapping = page, page.mapping
        initial = {
            "heads": stamp_of(mapping.columns),
            "section": mapping.section,
            "new_sections": mapping.new_sections,
            "blank_is_none": mapping.blank_is_none,
        }
        super().__init__(*args, **({"initial": initial} | kwargs))
        none = [("", _("none: each row must name its section"))]
        names = [(name, name) for name in page.sections]
        self.fields["section"].choices = none + names  # type: ignore[attr-defined]  # its class
        self.words = {word_name(key, word): (key, word) for key, word, _n in self._words()}
        columns = [self._add_column(column) for column in page.columns]
        words = list(self._word_parts())
        self.helper = laid_out(
            "heads",
            Fieldset(_("What each column holds"), *columns),
            *words,
            Fieldset(_("Rows that leave something open"), *LEFT_OPEN),
            submit=_("Show what would change"),
        )

    def _add_column(self, column: ColumnSeen) -> Div:
        told = self.page.mapping.columns[column.index]
        name = f"field_{column.index}"
        called = f": {short(column.heading, 60)}" if column.heading else ""
        self.fields[name] = forms.ChoiceField(
            label=f"{column.letters}{called}",
            choices=FIELDS,
            required=False,
            initial=told.field,
            help_text=escape(" · ".join(column.examples)) or _("no cell holds anything"),
            widget=SELECT,
        )
        readings = READINGS.get(BY_KEY[told.field].sort) if told.field else None
        if readings is None:
            return Div(name, css_class="row plain")
        reads = f"reads_{column.index}"
        self.fields[reads] = forms.ChoiceField(
            label=_("%(column)s is written in") % {"column": column.letters},
            choices=list(readings.items()),
            required=False,
            initial=told.reads_as,
            help_text=READS_HELP.get(BY_KEY[told.field].sort, ""),
            widget=SELECT,
        )
        return Div(name, reads, css_class="row plain")

    def _words(self) -> Iterator[tuple[str, str, int]]:
        """Give words that nobody knows, then those for which something was chosen before."""
        yield from self.page.unknown
        for key, words in self.page.mapping.words.items():
            for word in words:
                yield key, word, 0

    def _word_parts(self) -> Iterator[Any]:
        by_field: dict[str, list[str]] = {}
        for key, word, count in self._words():
            name = word_name(key, word)
            cells = _("%(n)d cells") % {"n": count} if count > 1 else _("1 cell") if count else ""
            self.fields[name] = forms.ChoiceField(
                label=f"“{short(word)}”" + (f", {cells}" if cells else ""),
                choices=[NOT_CHOSEN, *ALLOWED[key].items(), OF_NO_USE],
                required=False,
                initial=self.page.mapping.words.get(key, {}).get(word, ""),
                widget=SELECT,
            )
            by_field.setdefault(key, []).append(name)
        for key, names in by_field.items():
            title = _("What words under %(field)s stand for") % {"field": BY_KEY[key].label}
            yield Fieldset(title, Div(*names, css_class="row plain"))

    def clean(self) -> dict[str, Any]:
        """Refuse headings that changed meanwhile, a field chosen twice, and no number."""
        found: dict[str, Any] = super().clean() or self.cleaned_data
        if found.get("heads") != stamp_of(self.page.mapping.columns):
            message = _("Somebody chose another row of headings meanwhile: choose again.")
            raise forms.ValidationError(message, code="stale")
        if not self.errors:
            for sentence in self.mapping().refusals():
                self.add_error(self._at(sentence), sentence)
        return found

    def _at(self, sentence: str) -> str | None:
        """Return the last column that holds what a sentence names as chosen twice."""
        columns = self.mapping().columns
        for n in reversed(range(len(columns))):
            key = columns[n].field
            if key and f"“{BY_KEY[key].label}”" in sentence:
                return f"field_{n}"
        return None

    def mapping(self) -> Mapping:
        """Return what was chosen; a measure or day without a reading gets the likely one."""
        told, data = self.page.mapping, self.cleaned_data
        columns = tuple(
            Column(one.heading, data.get(f"field_{n}", ""), data.get(f"reads_{n}", ""))
            for n, one in enumerate(told.columns)
        )
        chosen = replace(
            told,
            columns=columns,
            words=self._chosen_words(),
            section=data["section"],
            new_sections=data["new_sections"],
            blank_is_none=data["blank_is_none"],
        )
        return with_readings(self.page.table, chosen)

    def _chosen_words(self) -> dict[str, dict[str, str]]:
        found = {key: dict(words) for key, words in self.page.mapping.words.items()}
        for name, (key, word) in self.words.items():
            words = found.setdefault(key, {})
            words.pop(word, None)
            if meant := self.cleaned_data.get(name):
                words[word] = meant
        return {key: words for key, words in found.items() if words}
