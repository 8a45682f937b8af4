"""Forms about what a place allows: its settings, and the owner's permissions."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coordinator.refused import Refused, refuse_into
from workdays.forms.fields import LineField, ParagraphField, RowsField
from workdays.forms.layout import ROWS, laid_out
from workdays.forms.measures import ClockField, DayField, WholeField
from workdays.forms.papers import PaperField
from workdays.models import KindOfWork
from workdays.rules.leave_dates import refusals_to_permit
from workdays.rules.settings import Setting, Value


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

    refusal_fields = {
        "no-kinds": "kinds",
        "ends-first": "ends_on",
        "given-ahead": "given_on",
        "quiet-from": "quiet_from",
        "quiet-until": "quiet_until",
        "quiet-order": "quiet_until",
    }
    TYPED = (
        *("starts_on", "ends_on", "given_by", "given_on", "no_probing", "training_demanded"),
        *("quiet_from", "quiet_until", "terms"),
    )

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
    no_probing = forms.BooleanField(
        label=gettext_lazy("No probing for buried stones"),
        required=False,
        help_text=gettext_lazy("Then it holds over the setting of this cemetery."),
    )
    training_demanded = forms.BooleanField(
        label=gettext_lazy("Training is demanded of whoever works"),
        required=False,
        help_text=gettext_lazy("The public page of each day says so; name it in the terms."),
    )
    quiet_from = ClockField(
        gettext_lazy("Quiet from"),
        required=False,
        help_text=gettext_lazy("Hours of each day in which nobody works, for example 12:00."),
    )
    quiet_until = ClockField(
        gettext_lazy("Quiet until"),
        required=False,
        help_text=gettext_lazy("No day runs into these hours; no jobs are put on one that does."),
    )
    terms = ParagraphField(
        label=gettext_lazy("Other terms"),
        max_length=8000,
        required=False,
        widget=ROWS,
        help_text=gettext_lazy("In the owner's words; they stand on the sheets of each day."),
    )
    paper = PaperField(
        label=gettext_lazy("The paper itself"),
        required=False,
        help_text=gettext_lazy(
            "PDF, JPEG or PNG, at most 10 MB. Only the staff of this cemetery can open it."
        ),
    )

    def __init__(self, *args: Any, today: date, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.helper = laid_out("kinds", *self.TYPED, "paper", submit=submit, multipart=True)

    def clean(self) -> dict[str, Any]:
        """Ask for days and hours in order; a file that a refusal lost is asked for again."""
        cleaned = self.cleaned_data
        halves = ("quiet_from", "quiet_until")
        whole = not set(halves) & set(self.errors)
        if cleaned.get("starts_on") and cleaned.get("ends_on"):
            refusals = refusals_to_permit(
                kinds=["judged by its field"],
                starts_on=cleaned["starts_on"],
                ends_on=cleaned["ends_on"],
                today=self.today,
                given_on=cleaned.get("given_on"),
                quiet_from=cleaned["quiet_from"] if whole else None,
                quiet_until=cleaned["quiet_until"] if whole else None,
            )
            refuse_into(self, Refused(refusals))
        if self.errors and cleaned.get("paper"):
            self.add_error("paper", _("Choose the file again: a form that comes back loses it."))
        return cleaned

    def values(self) -> dict[str, Any]:
        """Return the columns of the permission; no new file leaves the stored one."""
        values = {name: self.cleaned_data[name] for name in self.TYPED}
        if self.cleaned_data["paper"]:
            values["paper"] = self.cleaned_data["paper"]
        return values
