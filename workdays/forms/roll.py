"""Forms of the roll, of closing a day, of countersigning and of sign-offs."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from training.models import Countersign, HoursEntry, SignOff, Skill
from training.rules.countersign import REFUSED, Word
from workdays.forms.fields import RowsField
from workdays.forms.measures import WholeField
from workdays.models import Cemetery, Job, Workday
from workdays.rules.job_shape import LONGEST_MINUTES


class RollForm(forms.Form):
    """Who came or left, and when; the time is the clock at the cemetery."""

    person = forms.ModelChoiceField(queryset=Person.objects.none())
    time = forms.TimeField(
        label=_("Time to note"),
        help_text=_("As on the clock at the cemetery; change it when you note something late."),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": _("Write the time as 9:05.")},
    )

    def __init__(self, day: Workday, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # passed on as they came
        self.day = day
        people = self.fields["person"]
        assert isinstance(people, forms.ModelChoiceField)  # noqa: S101  # for the type checker
        people.queryset = Person.objects.filter(sign_ups__day=day)

    def moment(self) -> datetime:
        """Return the time on the date of the day."""
        zone = self.day.cemetery.zone
        on = self.day.starts_at.astimezone(zone).date()
        return datetime.combine(on, self.cleaned_data["time"], tzinfo=zone)


class CloseForm(forms.Form):
    """Which planned jobs are done, how much is left of the others, and how long each took."""

    def __init__(
        self, jobs: Iterable[Job], planned: Mapping[int, int], *args: object, **kwargs: object
    ) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # passed on as they came
        self.jobs = list(jobs)
        for job in self.jobs:
            self.fields[f"left_{job.pk}"] = WholeField(
                _("Person-minutes left"),
                *(0, LONGEST_MINUTES, "person-minutes"),
                required=False,
                initial=0,
            )
            self.fields[f"took_{job.pk}"] = WholeField(
                _("Person-minutes it took"),
                *(1, LONGEST_MINUTES, "person-minutes"),
                required=False,
                initial=planned.get(job.pk),
            )
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.layout = Layout(*(self._pair(job) for job in self.jobs))

    def _pair(self, job: Job) -> Fieldset:
        return Fieldset(str(job), Div(f"left_{job.pk}", f"took_{job.pk}", css_class="row"))

    def minutes_left(self) -> dict[int, int]:
        """Return the person-minutes left of each job."""
        return {job.pk: self.cleaned_data[f"left_{job.pk}"] or 0 for job in self.jobs}

    def took(self) -> dict[int, int]:
        """Return the person-minutes that each job took, where somebody knew."""
        found = {job.pk: self.cleaned_data[f"took_{job.pk}"] for job in self.jobs}
        return {job: minutes for job, minutes in found.items() if minutes}


class CountersignForm(forms.Form):
    """A supervisor's word on one hours entry."""

    decision = forms.ChoiceField(label=_("Your word"), choices=Countersign.Decision.choices)
    minutes = forms.IntegerField(label=_("Minutes that count"), min_value=0, max_value=1440)
    stones = forms.IntegerField(label=_("Stones"), min_value=0, max_value=200)
    why = forms.CharField(label=_("Why, if you change it"), max_length=250, required=False)
    refusal_fields = {"minutes": "minutes", "stones": "stones", "why": "why"}

    def __init__(self, entry: HoursEntry, *args: object, **kwargs: object) -> None:
        kwargs.setdefault("prefix", f"e{entry.pk}")
        said = {"decision": "corrected", "minutes": entry.minutes, "stones": entry.stones}
        kwargs.setdefault("initial", said)
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # passed on as they came
        self.entry = entry

    def word(self) -> Word:
        """Return what was said; refused hours count nothing."""
        data = self.cleaned_data
        if data["decision"] == REFUSED:
            return Word(REFUSED, 0, 0, data["why"])
        return Word(data["decision"], data["minutes"], data["stones"], data["why"])


class SignOffForm(forms.Form):
    """A judgement that a person holds a level."""

    skill = forms.ModelChoiceField(label=_("Skill"), queryset=Skill.objects.all())
    level = forms.ChoiceField(label=_("Level"), choices=SignOff.Level.choices)
    on = forms.DateField(
        label=_("From"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    cemeteries = RowsField(
        Cemetery.objects.all(),
        label=_("Where it holds"),
        help_text=_("None chosen: everywhere."),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    words = forms.CharField(
        label=_("What you saw"), max_length=250, required=False, widget=forms.Textarea
    )
    refusal_fields = {"level": "skill", "own": "skill"}

    def __init__(self, today: date, *args: object, **kwargs: object) -> None:
        kwargs.setdefault("initial", {"on": today})
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # passed on as they came
        self.today = today

    def clean_on(self) -> date:
        """Refuse a date that has not come."""
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError(_("A sign-off cannot start in the future."))
        return on


class RevokeForm(forms.Form):
    """Why a sign-off ends."""

    why = forms.CharField(
        label=_("Why it ends"),
        max_length=250,
        error_messages={
            "required": _("Say why the sign-off ends; nothing was changed."),
            "max_length": _("Say why it ends in 250 characters at most; nothing was changed."),
        },
    )
