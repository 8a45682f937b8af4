"""Forms about a place: the cemetery, its settings, permissions and sections."""

from typing import Any
from zoneinfo import available_timezones

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Submit
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Model
from django.utils.functional import lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, MailboxField, ParagraphField, RowsField, TelephoneField
from workdays.forms.measures import DayField, DegreesField, MetresField, WholeField
from workdays.forms.papers import PaperField
from workdays.models import Cemetery, KindOfWork
from workdays.rules.settings import Setting, Value

ROWS = forms.Textarea(attrs={"rows": 4})


def initial_of(row: Model, form: type[forms.Form]) -> dict[str, Any]:
    """Return what a form shows of a stored row."""
    return {name: getattr(row, name) for name in form.base_fields if hasattr(row, name)}


def laid_out(*parts: Any, submit: str, multipart: bool = False) -> FormHelper:
    """Return a helper with the parts in one column and the button below."""
    helper = FormHelper()
    helper.layout = Layout(*parts, Submit("keep", submit))
    if multipart:
        helper.attrs = {"enctype": "multipart/form-data"}
    return helper


def _zones() -> list[tuple[str, str]]:
    names = sorted(zone for zone in available_timezones() if "/" in zone and zone[0].isupper())
    kept = [zone for zone in names if not zone.startswith(("Etc/", "SystemV/", "US/"))]
    return [(zone, zone.replace("_", " ")) for zone in kept]


class CemeteryForm(forms.Form):
    """The facts of a place."""

    name = LineField(label=gettext_lazy("Name"), max_length=120)
    time_zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"), choices=lazy(_zones, list), initial="America/Detroit"
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
            Fieldset("", "time_zone"),
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


def both_or_none(form: forms.Form, one: str, other: str) -> dict[str, Any]:
    """Return the cleaned values; half a place gets a sentence beside the missing half."""
    cleaned = form.cleaned_data
    if {one, other} & set(form.errors):
        return cleaned
    given = {name: cleaned.get(name) is not None for name in (one, other)}
    if given[one] != given[other]:
        missing = other if given[one] else one
        form.add_error(missing, _("Give both halves of the place, or neither."))
    return cleaned


class SettingForm(forms.Form):
    """One setting of a cemetery: its value and who said so."""

    refusal_fields = {
        "yes-or-no": "value",
        "no-words": "value",
        "not-a-number": "value",
        "not-whole": "value",
        "out-of-bounds": "value",
        "no-source": "source",
        "no-leave-of-owner": "source",
    }

    source = LineField(
        label=gettext_lazy("Who says so"),
        max_length=250,
        help_text=gettext_lazy("Body, paper, page, date: enough for somebody else to check it."),
    )

    def __init__(self, *args: Any, setting: Setting, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["value"] = _value_field(setting)
        self.order_fields(["value", "source"])
        self.helper = laid_out("value", "source", submit=_("Keep this setting"))


def _value_field(setting: Setting) -> forms.Field:
    """Return the field that fits the kind of a setting; the rules judge its bounds."""
    if isinstance(setting.default, bool):
        return forms.TypedChoiceField(
            label=setting.label,
            choices=[("yes", gettext_lazy("yes")), ("no", gettext_lazy("no"))],
            coerce=lambda word: word == "yes",
            widget=forms.RadioSelect,
        )
    if isinstance(setting.default, str):
        return LineField(label=setting.label, max_length=120)
    low = setting.low if setting.low is not None else -1_000_000
    high = setting.high if setting.high is not None else 1_000_000
    if isinstance(setting.default, int):
        return WholeField(setting.label, int(low), int(high), setting.unit)
    return _FractionField(setting.label, low, high, setting.unit)


class _FractionField(forms.FloatField):
    default_error_messages = {"invalid": gettext_lazy("Give a number, for example 0.5.")}

    def __init__(self, label: str, low: float, high: float, unit: str) -> None:
        widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
        help_text = _("From %(low)s to %(high)s %(unit)s.") % {
            "low": f"{low:g}",
            "high": f"{high:g}",
            "unit": unit,
        }
        super().__init__(label=label, widget=widget, help_text=help_text)


def setting_initial(value: Value, source: str) -> dict[str, Any]:
    """Return what the form of a setting shows; yes and no are words there."""
    shown = ("yes" if value else "no") if isinstance(value, bool) else value
    return {"value": shown, "source": source}


class PermissionForm(forms.Form):
    """The owner's written leave."""

    kinds = RowsField(
        KindOfWork.objects.all(),
        label=gettext_lazy("Kinds of work"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Tick what the owner allows.")},
    )
    starts_on = DayField(gettext_lazy("From"))
    ends_on = DayField(gettext_lazy("Until"), help_text=gettext_lazy("The last day it holds."))
    given_by = LineField(
        label=gettext_lazy("Given by"),
        max_length=120,
        help_text=gettext_lazy("Name and office, as on the paper."),
    )
    given_on = DayField(gettext_lazy("Given on"), required=False)
    terms = ParagraphField(
        label=gettext_lazy("Terms"), max_length=8000, required=False, widget=ROWS
    )
    paper = PaperField(
        label=gettext_lazy("The paper itself"),
        required=False,
        help_text=gettext_lazy(
            "PDF, JPEG or PNG, at most 10 MB. Only the staff of this cemetery can open it."
        ),
    )

    def __init__(self, *args: Any, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out(
            *("kinds", "starts_on", "ends_on", "given_by", "given_on", "terms", "paper"),
            submit=submit,
            multipart=True,
        )

    def clean(self) -> dict[str, Any]:
        """Ask for an end that is not before the start."""
        cleaned = self.cleaned_data
        starts_on, ends_on = cleaned.get("starts_on"), cleaned.get("ends_on")
        if starts_on and ends_on and ends_on < starts_on:
            self.add_error("ends_on", _("It ends before it starts."))
        return cleaned

    def values(self) -> dict[str, Any]:
        """Return the columns of the permission; no new file leaves the stored one."""
        names = ("starts_on", "ends_on", "given_by", "given_on", "terms")
        values = {name: self.cleaned_data[name] for name in names}
        if self.cleaned_data["paper"]:
            values["paper"] = self.cleaned_data["paper"]
        return values


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
