"""Forms about a place: the cemetery and its sections."""

from functools import cache
from typing import Any
from zoneinfo import available_timezones

from crispy_forms.layout import Fieldset
from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, MailboxField, ParagraphField, TelephoneField
from workdays.forms.layout import ROWS, both_or_none, initial_of, laid_out
from workdays.forms.measures import DegreesField, MetresField, WholeField
from workdays.models import Cemetery
from workdays.rules.of_age import STATES, STRICTEST_AGE


@cache
def _zones() -> list[tuple[str, str]]:
    # The files of all zones are looked for each time, and a form asks several times.
    names = sorted(zone for zone in available_timezones() if "/" in zone and zone[0].isupper())
    kept = [zone for zone in names if not zone.startswith(("Etc/", "SystemV/", "US/"))]
    return [(zone, zone.replace("_", " ")) for zone in kept]


class CemeteryForm(forms.Form):
    """The facts of a place."""

    name = LineField(label=gettext_lazy("Name"), max_length=120)
    time_zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"), choices=lazy(_zones, list), initial="America/Detroit"
    )
    us_state = forms.ChoiceField(
        label=gettext_lazy("State"),
        choices=[("", gettext_lazy("not given, or not in the United States")), *STATES.items()],
        required=False,
        help_text=gettext_lazy(
            "Its law says from which age people sign for themselves. Not given: from %(age)s."
        )
        % {"age": STRICTEST_AGE},
    )
    address = LineField(
        label=gettext_lazy("Address"),
        max_length=250,
        help_text=gettext_lazy("As you would say it to an ambulance: road, number, gate."),
    )
    latitude = DegreesField(gettext_lazy("Latitude"), 90, 5, required=False)
    longitude = DegreesField(gettext_lazy("Longitude"), 180, 5, required=False)
    way_in = ParagraphField(
        label=gettext_lazy("The way in"),
        max_length=4000,
        required=False,
        widget=ROWS,
        help_text=gettext_lazy("How to find the gate and where to park."),
    )
    water = LineField(label=gettext_lazy("Water"), max_length=120, required=False)
    toilet = LineField(label=gettext_lazy("Toilet"), max_length=120, required=False)
    shade = LineField(label=gettext_lazy("Shade"), max_length=120, required=False)
    parking = LineField(label=gettext_lazy("Parking"), max_length=120, required=False)
    phone_signal = LineField(label=gettext_lazy("Phone signal"), max_length=120, required=False)
    owner_name = LineField(label=gettext_lazy("Owner"), max_length=120)
    owner_contact = LineField(label=gettext_lazy("Whom to ask"), max_length=120, required=False)
    owner_email = MailboxField(label=gettext_lazy("E-mail of the owner"), required=False)
    owner_telephone = TelephoneField(label=gettext_lazy("Telephone of the owner"), required=False)
    notes = ParagraphField(
        label=gettext_lazy("Notes"), max_length=4000, required=False, widget=ROWS
    )

    def __init__(self, *args: Any, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out(
            Fieldset(_("The place"), "name", "address", "way_in", "latitude", "longitude"),
            Fieldset("", "us_state", "time_zone"),
            Fieldset(_("What is there"), "water", "toilet", "shade", "parking", "phone_signal"),
            Fieldset(
                _("Who owns it"), "owner_name", "owner_contact", "owner_email", "owner_telephone"
            ),
            Fieldset(_("Notes"), "notes"),
            submit=submit,
        )

    def clean(self) -> dict[str, Any]:
        """Ask for both coordinates or none."""
        return both_or_none(self, "latitude", "longitude")


class SectionForm(forms.Form):
    """A part of a cemetery and where it lies."""

    refusal_fields = {"taken": "name"}

    name = LineField(label=gettext_lazy("Name"), max_length=80)
    order = WholeField(gettext_lazy("Order on the page"), 0, 1000, required=False, initial=0)
    east_m = MetresField(
        gettext_lazy("Metres east of the cemetery's origin"), required=False, initial=0
    )
    north_m = MetresField(
        gettext_lazy("Metres north of the cemetery's origin"), required=False, initial=0
    )
    outline = ParagraphField(
        label=gettext_lazy("Corners"),
        max_length=4000,
        required=False,
        widget=ROWS,
        help_text=gettext_lazy(
            "One corner a line, metres east and north of the cemetery's origin: 12.5 40"
        ),
    )

    def __init__(self, *args: Any, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out(*("name", "order", "east_m", "north_m", "outline"), submit=submit)

    def clean_order(self) -> int:
        """Return 0 for an empty order."""
        return self.cleaned_data["order"] or 0

    def clean_east_m(self) -> float:
        """Return 0 for an empty place."""
        return self.cleaned_data["east_m"] or 0.0

    def clean_north_m(self) -> float:
        """Return 0 for an empty place."""
        return self.cleaned_data["north_m"] or 0.0

    def clean_outline(self) -> list[list[float]]:
        """Return corners as [east, north]; none, or three and more."""
        lines = [line for line in self.cleaned_data["outline"].splitlines() if line.strip()]
        corners = [_corner(line) for line in lines]
        if corners and not 3 <= len(corners) <= 60:
            raise ValidationError(_("Give from 3 to 60 corners, or none."), code="corners")
        return corners


def _corner(line: str) -> list[float]:
    parts = line.replace(",", " ").replace(";", " ").split()
    try:
        east, north = (float(part) for part in parts)
    except ValueError:
        east = north = float("nan")
    if not (-5000 <= east <= 5000 and -5000 <= north <= 5000):
        message = _("“%(line)s” is no corner: write metres east and north, like 12.5 40.")
        raise ValidationError(message % {"line": line[:40]}, code="corner")
    return [east, north]


def corners_in_lines(outline: list[list[float]]) -> str:
    """Return the corners of a section as the form shows them."""
    return "\n".join(f"{east:g} {north:g}" for east, north in outline)


def cemetery_initial(cemetery: Cemetery) -> dict[str, Any]:
    """Return what the form shows of a cemetery."""
    return initial_of(cemetery, CemeteryForm)
