"""The one form for a workday or a clinic, new or changed."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout, Submit
from django import forms
from django.db.models import QuerySet
from django.utils.dateparse import parse_datetime
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from training.models import Skill
from workdays.actions.days import DayWishes
from workdays.forms.equipment import equipment_in, equipment_initial
from workdays.forms.fields import LineField, ParagraphField
from workdays.models import Block, Cemetery, Equipment, Workday
from workdays.rules.day_frame import MOST_OF_A_KIND, MOST_PEOPLE, DayFrame

BRING = "closed shoes, gloves, a hat, water, lunch"
MOST_TEACHERS, MOST_LEARNERS = 50, 30
CLOCKS = ("starts", "ends", "break_from", "break_to")


class WallField(forms.Field):
    """Date and time as the clock at the cemetery shows them: a datetime without a zone."""

    widget = forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"})

    def to_python(self, value: Any) -> datetime | None:
        """Return the moment shown; a zone that was typed is refused."""
        if value in self.empty_values:
            return None
        if isinstance(value, datetime):
            return value
        try:
            shown = parse_datetime(str(value).strip())
        except ValueError:
            shown = None
        if shown is None or shown.tzinfo is not None:
            raise forms.ValidationError(_("Write date and time like 2026-05-08 18:00."))
        return shown


def _clock(
    label: StrOrPromise, *, required: bool = True, help_text: StrOrPromise = ""
) -> forms.TimeField:
    widget = forms.TimeInput(format="%H:%M", attrs={"type": "time", "step": "900"})
    return forms.TimeField(label=label, required=required, help_text=help_text, widget=widget)


def _day(
    label: StrOrPromise, *, required: bool = True, help_text: StrOrPromise = ""
) -> forms.DateField:
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    return forms.DateField(label=label, required=required, help_text=help_text, widget=widget)


def _number(label: StrOrPromise, low: int, high: int, **kwargs: Any) -> forms.IntegerField:
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    return forms.IntegerField(label=label, min_value=low, max_value=high, widget=widget, **kwargs)


class DayForm(forms.Form):
    """Asks for a day; ``wishes()`` gives what the actions take.

    ``cemeteries`` are those the organiser organises; ``day`` is one that is being changed.
    """

    cemetery = forms.ModelChoiceField(Cemetery.objects.none(), label=_("Cemetery"))
    purpose = forms.ChoiceField(
        label=_("Purpose"),
        choices=[("workday", _("workday: finish jobs")), ("clinic", _("clinic: teach a skill"))],
        widget=forms.RadioSelect,
        initial="workday",
    )
    teaches = forms.ModelChoiceField(
        Skill.objects.all(),
        required=False,
        label=_("Skill that a clinic teaches"),
        empty_label=_("none, it is a workday"),
    )
    on = _day(_("Date"))
    starts = _clock(_("Start"), help_text=_("Full quarter hours, by the clock at the cemetery."))
    ends = _clock(_("End"))
    break_from = _clock(_("Break from"), required=False)
    break_to = _clock(_("Break to"), required=False, help_text=_("Both empty: no break."))
    rain_on = _day(
        _("Rain date"), required=False, help_text=_("Where the day moves if the weather bars it.")
    )
    meeting_point = LineField(label=_("Meeting point"), max_length=160)
    capacity = _number(_("Places"), 2, MOST_PEOPLE)
    fewest = _number(
        _("Fewest people"), 2, MOST_PEOPLE, help_text=_("With fewer, the day is not worth it.")
    )
    teachers = _number(
        _("Supervisors who teach"),
        0,
        MOST_TEACHERS,
        required=False,
        help_text=_("Of a clinic. Empty: one. More count when more have signed up."),
    )
    learners_per_teacher = _number(
        _("New people for each of them, at most"),
        1,
        MOST_LEARNERS,
        required=False,
        help_text=_("Empty: as the cemetery's settings say. Others may still come."),
    )
    cut_off = WallField(
        label=_("Places may be taken until"),
        required=False,
        help_text=_("Empty: 18:00 the evening before."),
    )
    call_by = WallField(
        label=_("Weather call made by"),
        required=False,
        help_text=_("Empty: 18:00 the evening before."),
    )
    bring = LineField(label=_("What to bring"), max_length=250, required=False)
    words = ParagraphField(
        label=_("Words for those who come"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    refusal_fields = {
        "day_past": "on",
        "day_far": "on",
        "start_past": "starts",
        "end_before_start": "ends",
        "day_too_long": "ends",
        "break_half": "break_to",
        "break_backwards": "break_to",
        "break_outside": "break_from",
        "blocks_planned": "break_from",
        "rain_not_after": "rain_on",
        "rain_far": "rain_on",
        "rain_no_such_time": "rain_on",
        "capacity": "capacity",
        "fewest": "fewest",
        "fewest_over_capacity": "fewest",
        "clinic_without_skill": "teaches",
        "cemetery_fixed": "cemetery",
        **{f"{name}_{why}": name for name in CLOCKS for why in ("quarter", "no_such_time")},
        **{
            f"{name}_{why}": name
            for name in ("cut_off", "call_by")
            for why in ("far", "late", "past", "no_such_time")
        },
    }

    def __init__(
        self,
        *args: Any,
        cemeteries: "QuerySet[Cemetery]",
        day: Workday | None = None,
        submit: str = "Keep this day",
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.day = day
        self.fields["cemetery"].queryset = cemeteries  # type: ignore[attr-defined]  # its class
        self.equipment = list(Equipment.objects.all())
        for row in self.equipment:
            self.fields[f"equipment_{row.key}"] = _number(
                capfirst(row.name), 0, MOST_OF_A_KIND, required=False
            )
        self.helper = FormHelper()
        self.helper.layout = self.layout(submit)

    def layout(self, submit: str) -> Layout:
        """Return the fields in groups, the button last."""
        there = [f"equipment_{row.key}" for row in self.equipment]
        return Layout(
            Fieldset(_("What and where"), "purpose", "teaches", "cemetery", "meeting_point"),
            Fieldset(_("When"), "on", "starts", "ends", "break_from", "break_to", "rain_on"),
            Fieldset(_("People"), "capacity", "fewest", "cut_off", "call_by"),
            Fieldset(_("At a clinic"), "teachers", "learners_per_teacher"),
            Fieldset(_("What to bring, what to know"), "bring", "words"),
            Fieldset(_("How many of each are there"), Div(*there, css_class="row plain")),
            Submit("keep", submit),
        )

    def _frame(self, cemetery: Cemetery, teaches: Skill | None) -> DayFrame:
        cleaned = self.cleaned_data
        stored = (self.day.starts_at, self.day.cut_off_at, self.day.call_by_at) if self.day else ()
        return DayFrame(
            on=cleaned["on"],
            **{name: cleaned[name] for name in CLOCKS},
            zone=cemetery.zone,
            rain_on=cleaned["rain_on"],
            cut_off=cleaned["cut_off"],
            call_by=cleaned["call_by"],
            capacity=cleaned["capacity"],
            fewest=cleaned["fewest"],
            is_clinic=cleaned["purpose"] == Workday.Purpose.CLINIC,
            teaches=teaches.key if teaches else "",
            equipment=equipment_in(self.cleaned_data),
            keeps=frozenset(stored),
        )

    def wishes(self) -> DayWishes:
        """Return what was asked for; only for a valid form."""
        cemetery: Cemetery = self.cleaned_data["cemetery"]
        teaches: Skill | None = self.cleaned_data["teaches"]
        return DayWishes(
            cemetery=cemetery,
            frame=self._frame(cemetery, teaches),
            teaches=teaches,
            meeting_point=self.cleaned_data["meeting_point"],
            bring=self.cleaned_data["bring"],
            words=self.cleaned_data["words"],
            teachers=1 if self.cleaned_data["teachers"] is None else self.cleaned_data["teachers"],
            learners_per_teacher=self.cleaned_data["learners_per_teacher"],
        )


def new_day_initial(cemetery: Cemetery | None = None) -> dict[str, Any]:
    """Return what the form of a new day shows: a day of six hours with half an hour of lunch."""
    return {
        "cemetery": cemetery,
        "purpose": Workday.Purpose.WORKDAY,
        "starts": "09:00",
        "ends": "15:00",
        "break_from": "12:00",
        "break_to": "12:30",
        "capacity": 20,
        "fewest": 4,
        "teachers": 1,
        "bring": BRING,
    }


def _break_initial(day: Workday) -> Iterator[tuple[str, Any]]:
    pause = day.blocks.filter(kind=Block.Kind.BREAK).first()
    if pause:
        zone = day.cemetery.zone
        yield "break_from", pause.starts_at.astimezone(zone).time()
        yield "break_to", pause.ends_at.astimezone(zone).time()


def day_initial(day: Workday) -> dict[str, Any]:
    """Return a stored day as the form shows it, in the cemetery's zone."""
    zone = day.cemetery.zone
    starts, ends = day.starts_at.astimezone(zone), day.ends_at.astimezone(zone)
    on: date = starts.date()
    return {
        "cemetery": day.cemetery_id,
        "purpose": day.purpose,
        "teaches": day.teaches_id,
        "on": on,
        "starts": starts.time(),
        "ends": ends.time(),
        **dict(_break_initial(day)),
        "rain_on": day.rain_on,
        "meeting_point": day.meeting_point,
        "capacity": day.capacity,
        "fewest": day.fewest_people,
        "cut_off": day.cut_off_at.astimezone(zone).replace(tzinfo=None),
        "call_by": day.call_by_at.astimezone(zone).replace(tzinfo=None),
        "bring": day.bring,
        "words": day.words,
        "teachers": day.teachers,
        "learners_per_teacher": day.learners_per_teacher,
        **equipment_initial(day),
    }
