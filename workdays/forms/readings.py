"""The form of a reading: the lines of a stone, and the names and dates they give."""

from datetime import date
from typing import Any

from crispy_forms.layout import HTML, Fieldset
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField
from workdays.forms.layout import ROWS, laid_out
from workdays.forms.measures import DayField
from workdays.models import RecordedFact, Stone
from workdays.rules.reading import FactRead

ROWS_OF_FACTS = 6
PARTS = ("subject", "words", "certainty", "origin", "origin_words")
SUBJECTS = [("", gettext_lazy("nothing more")), *RecordedFact.Subject.choices]


def field_name(part: str, row: int) -> str:
    """Return the name of one field of a row of facts; rows count from 0."""
    return f"{part}_{row}"


class ReadingForm(forms.Form):
    """One reading, written down beside the stone."""

    refusal_fields = {
        "future": "on",
        "too-old": "on",
        "nothing": "lines",
        "too-many-lines": "lines",
        "brackets": "lines",
    }

    lines = ParagraphField(
        label=gettext_lazy("What it says, line by line"),
        max_length=16_000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "autocapitalize": "off"}),
        help_text=gettext_lazy(
            "A new line for each line of the stone, as it is cut, mistakes too. Letters you are "
            "not sure of in square brackets: MAR[Y]. Lost letters as dots in brackets: [...]."
        ),
    )
    notes = ParagraphField(
        label=gettext_lazy("Notes"),
        max_length=4000,
        required=False,
        widget=ROWS,
        help_text=gettext_lazy("Carvings, the back, how the light was."),
    )
    on = DayField(gettext_lazy("Day of the reading"))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = today
        first, *more = [self._row(row) for row in range(ROWS_OF_FACTS)]
        folded = [HTML(self._fold()), *more, HTML("</details>")]
        self.helper = laid_out(
            "lines", first, *folded, "notes", "on", submit=_("Keep this reading")
        )
        self.helper.form_class = "plain"

    def _fold(self) -> str:
        """Return the start of the part that is folded away until something was typed there."""
        typed = any(
            self.data.get(field_name(part, row))
            for row in range(1, ROWS_OF_FACTS)
            for part in ("words", "origin_words")
        )
        return f"<details{' open' if typed else ''}><summary>{_('More names and dates')}</summary>"

    def _row(self, row: int) -> Fieldset:
        """Add the fields of one name or date; the first is asked for as a name."""
        first = RecordedFact.Subject.NAME.value if row == 0 else ""
        fields: dict[str, forms.Field] = {
            "subject": forms.ChoiceField(
                label=_("Which fact"), choices=SUBJECTS, required=False, initial=first
            ),
            "words": LineField(label=_("As it stands there"), max_length=160, required=False),
            "certainty": forms.ChoiceField(
                label=_("How sure"),
                choices=Stone.Certainty.choices,
                required=False,
                initial=Stone.Certainty.UNKNOWN,
            ),
            "origin": forms.ChoiceField(
                label=_("From where"), choices=RecordedFact.Origin.choices, required=False
            ),
            "origin_words": LineField(
                label=_("Which register and page, or who told it"), max_length=160, required=False
            ),
        }
        for part, field in fields.items():
            self.fields[field_name(part, row)] = field
        names = [field_name(part, row) for part in PARTS]
        return Fieldset(_("Name or date %(n)s") % {"n": row + 1}, *names)

    def clean(self) -> dict[str, Any]:
        """Ask what a fact is of that has words only."""
        cleaned = self.cleaned_data
        for row in range(ROWS_OF_FACTS):
            if cleaned.get(field_name("words", row)) and not self._is_given(row):
                said = _("Say what this is: a name, born, died, an age or something else.")
                self.add_error(field_name("subject", row), said)
        return cleaned

    def _is_given(self, row: int) -> bool:
        return bool(self.cleaned_data.get(field_name("subject", row)))

    def _is_filled(self, row: int) -> bool:
        """Return whether a row says anything; the first one's subject alone says nothing."""
        cleaned = self.cleaned_data
        return self._is_given(row) and bool(
            row
            or cleaned.get(field_name("words", row))
            or cleaned.get(field_name("origin_words", row))
        )

    def facts(self) -> list[FactRead]:
        """Return the facts in the order of the rows; rows left out close up."""
        return [self._fact(row) for row in self.rows_given()]

    def rows_given(self) -> list[int]:
        """Return the rows that say something, so that a refusal finds its field."""
        return [row for row in range(ROWS_OF_FACTS) if self._is_filled(row)]

    def _fact(self, row: int) -> FactRead:
        cleaned = self.cleaned_data
        return FactRead(
            subject=cleaned[field_name("subject", row)],
            words=cleaned[field_name("words", row)],
            certainty=cleaned[field_name("certainty", row)] or Stone.Certainty.UNKNOWN.value,
            origin=cleaned[field_name("origin", row)] or RecordedFact.Origin.STONE.value,
            origin_words=cleaned[field_name("origin_words", row)],
        )

    def read_lines(self) -> list[str]:
        """Return the lines as typed, without empty ones at the end."""
        text = str(self.cleaned_data["lines"])
        return [line.rstrip() for line in text.split("\n")] if text else []

    def point_at_rows(self) -> None:
        """Have refusals of the n-th fact shown at the row in which it was typed."""
        rows = {f"fact-{n}": field_name("words", row) for n, row in enumerate(self.rows_given())}
        self.refusal_fields = {**self.refusal_fields, **rows}
