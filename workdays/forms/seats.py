"""Seats in cars: how many one offers or wants, from where; whom one asks."""

from typing import Any

from crispy_forms.layout import HTML, Div, Fieldset
from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.forms.fields import LineField
from workdays.forms.measures import WholeField
from workdays.models import SignUp
from workdays.rules.seats import MOST_SEATS

SEATS = ("seats_offered", "seats_wanted", "seats_from")
REFUSED_BESIDE = {
    "minor-seats": "seats_offered",
    "both-seats": "seats_wanted",
    "seats-given": "seats_offered",
    "seats-got": "seats_wanted",
}


class SeatsForm(forms.Form):
    """What somebody says about seats for one day."""

    seats_offered = WholeField(_("Seats free in my car"), 0, MOST_SEATS, required=False)
    seats_wanted = WholeField(_("Seats I want"), 0, MOST_SEATS, required=False)
    seats_from = LineField(
        label=_("From where"),
        max_length=60,
        required=False,
        help_text=_("A town or a crossing, no address: others who come see it, without a name."),
    )

    @property
    def shows_seats(self) -> bool:
        """Return whether the fields about seats hold something and are not folded."""
        return any(self[name].value() or self[name].errors for name in SEATS)

    def clean(self) -> dict[str, Any]:
        """Ask for the place, and refuse to offer and want at once."""
        cleaned = super().clean() or self.cleaned_data
        offered, wanted = cleaned.get("seats_offered"), cleaned.get("seats_wanted")
        if offered and wanted:
            self.add_error("seats_wanted", _("Offer seats or want seats, not both."))
        if (offered or wanted) and "seats_from" in cleaned and not cleaned["seats_from"]:
            self.add_error("seats_from", _("Say from where: a town or a crossing is enough."))
        return cleaned

    def seats(self) -> dict[str, Any]:
        """Return what was typed; no number is none."""
        cleaned = self.cleaned_data
        return {
            "seats_offered": cleaned["seats_offered"] or 0,
            "seats_wanted": cleaned["seats_wanted"] or 0,
            "seats_from": cleaned["seats_from"],
        }


def seats_initial(row: SignUp) -> dict[str, Any]:
    """Return what the fields show of what somebody said before."""
    return {
        "seats_offered": row.seats_offered or None,
        "seats_wanted": row.seats_wanted or None,
        "seats_from": row.seats_from,
    }


def seats_layout() -> Fieldset:
    """Return the part about seats, folded until it holds something."""
    return Fieldset(
        _("How you get there"),
        HTML("{% include 'workdays/public/_seats.html' %}"),
        Div("seats_offered", "seats_wanted", css_class="row"),
        "seats_from",
        HTML("</details>"),
    )


class AskForm(forms.Form):
    """Whom one asks: the number of a line of the page."""

    other = forms.IntegerField(min_value=1, max_value=2**62)


class AnswerForm(forms.Form):
    """What one answers."""

    answer = forms.ChoiceField(choices=[("agree", "agree"), ("decline", "decline")])
