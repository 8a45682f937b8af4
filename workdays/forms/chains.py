"""Forms of chains as rows: a chain, its steps, and the materials that steps use."""

from typing import Any

from crispy_forms.layout import Div, Fieldset
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.equipment import equipment_initial
from workdays.forms.fields import LineField, RowsField
from workdays.forms.layout import initial_of, laid_out
from workdays.forms.measures import AmountField, WholeField
from workdays.forms.seasons import SEASON
from workdays.forms.work import MATERIAL, PEOPLE, WorkForm
from workdays.models import ChainStep, ChainTemplate
from workdays.rules.chain_step import LONGEST_WAIT_HOURS
from workdays.rules.job_shape import LONGEST_MINUTES, SHORTEST_MINUTES
from workdays.rules.sizes import SIZES

NO_SOURCE = "common practice, no source"
SOURCE_HELP = gettext_lazy("Who published it, and when; else: common practice, no source.")


def minutes_field(label: Any) -> WholeField:
    """Return a field of person-minutes."""
    return WholeField(label, SHORTEST_MINUTES, LONGEST_MINUTES, "person-minutes")


class ChainForm(forms.Form):
    """What a chain is called, what it rests on, and whether stones get its jobs."""

    name = LineField(label=gettext_lazy("Name"), max_length=80)
    source = LineField(label=gettext_lazy("Source"), max_length=250, help_text=SOURCE_HELP)
    in_use = forms.BooleanField(
        label=gettext_lazy("In use"),
        required=False,
        help_text=gettext_lazy("A chain out of use asks for nothing; jobs that are there stay."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("name", "source", "in_use", submit=_("Keep this chain"))


class MaterialForm(forms.Form):
    """How much of a material is mixed at once, and how long it can be worked."""

    name = LineField(label=gettext_lazy("Name"), max_length=60)
    batch_litres = AmountField(gettext_lazy("Litres in one batch"), 0.1, 500, "litres")
    workable_hours = AmountField(gettext_lazy("Hours it can be worked"), 0.1, 72, "hours")
    source = LineField(label=gettext_lazy("Source"), max_length=250, help_text=SOURCE_HELP)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        parts = ("name", "batch_litres", "workable_hours", "source")
        self.helper = laid_out(*parts, submit=_("Keep this material"))


class StepForm(WorkForm):
    """One step of a chain: what, after which, when, how much, with what, from where."""

    refusal_fields = WorkForm.refusal_fields | {
        "elsewhere": "after",
        "after": "wait_hours",
        "minutes": "medium",
        "people": "most",
        "circle": "after",
    }
    COLUMNS = (*WorkForm.COLUMNS, "words", "source", "wait_hours")

    words = LineField(label=gettext_lazy("What is done"), max_length=160)
    after = RowsField(
        ChainStep.objects.none(),
        label=gettext_lazy("Not before these steps are done"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": gettext_lazy("One of them is no step of this chain.")},
    )
    wait_hours = WholeField(
        gettext_lazy("Hours to wait after them"),
        *(0, LONGEST_WAIT_HOURS, "hours"),
        required=False,
        initial=0,
        help_text=gettext_lazy("Three days are 72."),
    )
    small = minutes_field(gettext_lazy("Person-minutes at a small stone"))
    medium = minutes_field(gettext_lazy("At a medium stone, or for the whole section"))
    large = minutes_field(gettext_lazy("At a large stone"))
    source = LineField(
        label=gettext_lazy("Source"), max_length=250, initial=NO_SOURCE, help_text=SOURCE_HELP
    )

    def __init__(
        self,
        *args: Any,
        template: ChainTemplate,
        step: ChainStep | None = None,
        submit: str,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        others = template.steps.exclude(pk=step.pk) if step else template.steps.all()
        if others.exists():
            self.fields["after"].queryset = others  # type: ignore[attr-defined]  # its class
            # A step is named by its words here; the chain is the page's.
            self.fields["after"].label_from_instance = _words  # type: ignore[attr-defined]
        else:
            del self.fields["after"]
        first = [name for name in ("after", "wait_hours") if name in self.fields]
        self.lay_out(
            Fieldset(_("What is done"), "kind", "words", "source"),
            Fieldset(_("When"), *first, "after_winter", Div(*SEASON, css_class="row")),
            Fieldset(_("How much"), *SIZES, *PEOPLE),
            Fieldset(_("With what"), *MATERIAL, Div(*self.equipment, css_class="row")),
            submit=submit,
        )

    def values(self) -> dict[str, Any]:
        """Return the columns of the step; only for a valid form."""
        minutes = {size: self.cleaned_data[size] for size in SIZES}
        return super().values() | {"minutes_by_size": minutes}

    def steps_before(self) -> list[ChainStep]:
        """Return the steps that this one comes after."""
        return list(self.cleaned_data.get("after", ()))


def _words(step: ChainStep) -> str:
    return step.words


def step_initial(step: ChainStep) -> dict[str, Any]:
    """Return what the form shows of a stored step."""
    minutes: dict[str, Any] = {size: step.minutes_by_size.get(size) for size in SIZES}
    shown = initial_of(step, StepForm) | {"after": list(step.after.all())}
    return {**shown, **minutes, **equipment_initial(step)}
