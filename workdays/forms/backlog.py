"""Forms of jobs and of kinds of work."""

from typing import Any

from crispy_forms.layout import Div, Fieldset
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.equipment import equipment_initial
from workdays.forms.fields import LineField, ParagraphField, RowsField
from workdays.forms.layout import ROWS, initial_of, laid_out
from workdays.forms.measures import DayField, WholeField
from workdays.forms.seasons import SEASON
from workdays.forms.work import MATERIAL, PEOPLE, WorkForm
from workdays.models import Cemetery, Job, Section, Stone
from workdays.rules.job_shape import LONGEST_MINUTES, SHORTEST_MINUTES

HOURS_OF_A_YEAR = 8760


class JobForm(WorkForm):
    """One kind of work on one stone, or in one section."""

    refusal_fields = WorkForm.refusal_fields | {
        "no-stone": "stone",
        "no-section": "stone",
        "elsewhere": "section",
        "alone": "fewest",
        "most": "most",
        "crowd": "most",
        "no-lifters": "lifters",
        "priority": "priority",
        "minutes": "person_minutes",
        "circle": "prerequisites",
    }
    COLUMNS = (
        *(*WorkForm.COLUMNS, "stone", "section", "words", "priority", "person_minutes"),
        *("wait_hours", "earliest_on", "notes", "state"),
    )

    stone = LineField(
        label=gettext_lazy("Number of the stone"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("Empty for work on a whole section, such as raking."),
    )
    section = forms.ModelChoiceField(
        Section.objects.none(),
        label=gettext_lazy("Section"),
        required=False,
        empty_label=gettext_lazy("that of the stone"),
    )
    words = LineField(label=gettext_lazy("In a few words"), max_length=160, required=False)
    priority = WholeField(
        gettext_lazy("Priority"),
        *(1, 100),
        initial=30,
        help_text=gettext_lazy("1 to 100; the highest is done first."),
    )
    person_minutes = WholeField(
        gettext_lazy("Person-minutes"),
        *(SHORTEST_MINUTES, LONGEST_MINUTES, "person-minutes"),
        help_text=gettext_lazy("Two people for half an hour are 60."),
    )
    prerequisites = RowsField(
        Job.objects.none(),
        label=gettext_lazy("Not before these are done"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    wait_hours = WholeField(
        gettext_lazy("Hours to wait after them"),
        *(0, HOURS_OF_A_YEAR, "hours"),
        required=False,
        initial=0,
        help_text=gettext_lazy("Bonded stone is clamped for 24; lime mortar stays damp longer."),
    )
    earliest_on = DayField(gettext_lazy("Not before the day"), required=False)
    state = forms.ChoiceField(
        label=gettext_lazy("State"),
        choices=Job.State.choices,
        initial=Job.State.OPEN,
        widget=forms.RadioSelect,
    )
    notes = ParagraphField(
        label=gettext_lazy("Notes"), max_length=4000, required=False, widget=ROWS
    )

    def __init__(
        self, *args: Any, cemetery: Cemetery, job: Job | None = None, submit: str, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.cemetery, self.job = cemetery, job
        self._offer()
        self._lay_out(submit)

    def _offer(self) -> None:
        """Fill the choices that depend on the cemetery, and leave out what cannot be asked yet."""
        sections = self.cemetery.sections.order_by("order", "pk")
        self.fields["section"].queryset = sections  # type: ignore[attr-defined]  # its class
        before = jobs_to_wait_for(self.cemetery, self.job, self.initial.get("stone"))
        if before.exists():
            self.fields["prerequisites"].queryset = before  # type: ignore[attr-defined]
            self.fields["prerequisites"].label_from_instance = _with_state  # type: ignore[attr-defined]
        else:
            del self.fields["prerequisites"]
        if self.job is None:
            del self.fields["state"]
            minutes = self.fields["person_minutes"]
            minutes.required = False
            minutes.help_text = _(
                "Two people for half an hour are 60. Empty: what was learned for such work."
            )

    def _lay_out(self, submit: str) -> None:
        chain = [n for n in ("prerequisites", "wait_hours", "after_winter") if n in self.fields]
        end = [n for n in ("notes", "state") if n in self.fields]
        self.lay_out(
            Fieldset(_("What and where"), "kind", "stone", "section", "words"),
            Fieldset(_("How much"), "priority", "person_minutes", *PEOPLE),
            Fieldset(_("Equipment it uses"), Div(*self.equipment, css_class="row")),
            Fieldset(_("Material it uses up"), *MATERIAL),
            Fieldset(_("When"), *chain, "earliest_on", Div(*SEASON, css_class="row")),
            Fieldset(_("Notes"), *end),
            submit=submit,
        )

    def clean_stone(self) -> Stone | None:
        """Return the stone of that number."""
        number = self.cleaned_data["stone"]
        if not number:
            return None
        stone = self.cemetery.stones.select_related("section").filter(number__iexact=number).first()
        if stone is None:
            message = _("%(cemetery)s has no stone %(number)s.")
            raise forms.ValidationError(message % {"cemetery": self.cemetery, "number": number})
        return stone

    def before(self) -> list[Job]:
        """Return the jobs that must be done before this one."""
        return list(self.cleaned_data.get("prerequisites", ()))


def _with_state(job: Job) -> str:
    state = "" if job.state == Job.State.OPEN else f" ({job.get_state_display()})"
    return f"{job}{state}"


def jobs_to_wait_for(
    cemetery: Cemetery, job: Job | None, stone_number: str | None
) -> "QuerySet[Job]":
    """Return the jobs that this one can wait for: of the same stone, of the section as a whole,
    and those it waits for already."""
    jobs = Job.objects.filter(cemetery=cemetery).select_related("kind", "stone", "section")
    if job is None:
        return jobs.filter(stone__number=stone_number) if stone_number else jobs.none()
    near = jobs.filter(section=job.section, stone=job.stone_id) if job.stone_id else jobs.none()
    whole = jobs.filter(section=job.section, stone__isnull=True)
    chosen = jobs.filter(unlocks=job)
    return (near | whole | chosen).exclude(pk=job.pk).distinct().order_by("-priority", "pk")


def job_initial(job: Job) -> dict[str, Any]:
    """Return what the form shows of a stored job."""
    return {
        **initial_of(job, JobForm),
        "stone": job.stone.number if job.stone else "",
        "section": None if job.stone else job.section,
        "prerequisites": list(job.prerequisites.all()),
        **equipment_initial(job),
    }


class KindForm(forms.Form):
    """The words of a kind of work; its flags and levels are rules and stay."""

    who_may = LineField(label=gettext_lazy("Who may"), max_length=160)
    caution = ParagraphField(
        label=gettext_lazy("Caution"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 7}),
        help_text=gettext_lazy("Shown wherever this work is planned, on pages and on paper."),
    )
    to_fetch = LineField(label=gettext_lazy("To fetch"), max_length=250, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("who_may", "caution", "to_fetch", submit=_("Keep these words"))
