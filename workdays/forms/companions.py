"""Lines of the public form for those who come along: an adult's mailbox or a child's birth date."""

from collections.abc import Iterator
from datetime import date
from functools import cache
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout
from crispy_forms.utils import render_crispy_form
from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from workdays.forms.fields import LineField, MailboxField
from workdays.forms.wishes import WishesForm
from workdays.models import Workday
from workdays.queries.days import local_date
from workdays.rules import parties
from workdays.rules.parties import MOST_NAMED, Ages, Companion, code

LINES = range(1, MOST_NAMED + 1)
NAMES = ("name", "email", "born_on", "relation", "agrees", "signs")


class CompanionsForm(WishesForm):
    """The part "who else comes": lines that fold out one after another, without any request."""

    own_mailbox = ""

    def __init__(self, *args: Any, day: Workday, **kwargs: Any) -> None:
        super().__init__(*args, day=day, **kwargs)
        self.ages = Ages(local_date(day), day.cemetery.adult_age)
        for line in LINES:
            for name, field in _fields_of(self.ages.adult).items():
                self.fields[code(name, line)] = field

    def companions_layout(self) -> Fieldset:
        """Return the lines, each inside the one before it; filled ones stand open."""
        deeper: list[Any] = []
        for line in reversed(LINES):
            words = _("Somebody comes with me") if line == 1 else _("And one more")
            is_open = format_html("<details{}><summary>", " open" if self._is_used(line) else "")
            if self._is_filled(line):
                fields = _line_layout(line)
            else:
                fields = [Ready(blank_line(line, self.ages.adult, get_language()))]
            deeper = [HTML(f"{is_open}{words}</summary>"), *fields, *deeper, HTML("</details>")]
        return Fieldset(
            _("Who else comes with you?"),
            HTML("{% include 'workdays/public/_who_else.html' %}"),
            *deeper,
        )

    def _is_used(self, line: int) -> bool:
        """Return whether something stands in this line or in a later one."""
        return any(self._is_filled(later) for later in range(line, MOST_NAMED + 1))

    def _is_filled(self, line: int) -> bool:
        names = [code(name, line) for name in NAMES]
        return any(self.data.get(name) or self.initial.get(name) for name in names)

    def clean(self) -> dict[str, Any]:
        """Refuse people who cannot come so, each beside the field that is wrong."""
        cleaned = super().clean() or self.cleaned_data
        mailbox = self.own_mailbox or str(cleaned.get("email") or "")
        for refusal in parties.refusals_of(self.companions(), mailbox=mailbox, ages=self.ages):
            if refusal.code not in self.errors:
                self.add_error(self.place_of(refusal.code), refusal.sentence)
        return cleaned

    def place_of(self, name: str) -> str | None:
        """Return the field that a refusal is shown at; None for the head of the page."""
        return name if name in self.fields else None

    def companions(self) -> tuple[Companion, ...]:
        """Return the people of those lines in which something was typed."""
        return tuple(self._typed())

    def _typed(self) -> Iterator[Companion]:
        for line in LINES:
            said = {name: self.cleaned_data.get(code(name, line)) for name in NAMES}
            wrong = any(code(name, line) in self.errors for name in NAMES)
            if not wrong and any(said.values()):
                born_on = said["born_on"]
                yield Companion(
                    line=line,
                    name=said["name"] or "",
                    email=said["email"] or "",
                    born_on=born_on if isinstance(born_on, date) else None,
                    relation=said["relation"] or "",
                    agrees=bool(said["agrees"]),
                    signs=bool(said["signs"]),
                )


class Ready:
    """A part of a layout that is written already."""

    def __init__(self, html: SafeString) -> None:
        self.html = html

    def render(self, *_args: Any, **_kwargs: Any) -> SafeString:
        """Return it."""
        return self.html


@cache
def blank_line(line: int, adult: int, _language: str | None) -> SafeString:
    """Return an empty line as the page shows it: written once, since most people come alone."""
    form = forms.Form()
    form.fields = {code(name, line): field for name, field in _fields_of(adult).items()}
    form.helper = FormHelper()  # type: ignore[attr-defined]  # where the library looks for it
    form.helper.form_tag = False  # type: ignore[attr-defined]
    form.helper.layout = Layout(*_line_layout(line))  # type: ignore[attr-defined]
    return SafeString(render_crispy_form(form))


def _line_layout(line: int) -> list[Any]:
    return [
        code("name", line),
        code("email", line),
        Div(code("born_on", line), code("relation", line), css_class="row"),
        code("signs", line),
        code("agrees", line),
    ]


def _fields_of(adult: int) -> dict[str, forms.Field]:
    plain = {"autocomplete": "off"}
    return {
        "name": LineField(
            label=_("Name"), max_length=120, required=False, widget=forms.TextInput(attrs=plain)
        ),
        "email": MailboxField(
            label=_("E-mail of an adult"),
            required=False,
            help_text=_("We ask them there: each adult signs for themselves."),
            widget=forms.EmailInput(attrs={"inputmode": "email", **plain}),
        ),
        "born_on": forms.DateField(
            label=_("Or birth date, if younger than %(age)s") % {"age": adult},
            required=False,
            widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date", **plain}),
            error_messages={"invalid": _("Write the date as year-month-day, 2014-06-30.")},
        ),
        "relation": LineField(
            label=_("You are the child's"),
            max_length=40,
            required=False,
            widget=forms.TextInput(attrs={"placeholder": _("mother, father, guardian"), **plain}),
        ),
        "signs": forms.BooleanField(
            label=_("I am this child's parent or legal guardian and sign below for the child too"),
            required=False,
        ),
        "agrees": forms.BooleanField(
            label=_("The child has read or heard the rules for children, and agrees to them"),
            required=False,
        ),
    }
