"""Forms of chains as rows: a chain, its steps, and the materials that steps use."""

from typing import Any

from crispy_forms.layout import Div, Fieldset
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.equipment import equipment_fields, equipment_in, equipment_initial
from workdays.forms.fields import LineField, RowsField
from workdays.forms.layout import initial_of, laid_out
from workdays.forms.measures import AmountField, WholeField
from workdays.forms.seasons import SEASON, DayOfYearField
from workdays.models import ChainStep, ChainTemplate, KindOfWork, MixedMaterial
from workdays.rules.chain_step import LONGEST_WAIT_HOURS, MOST_LITRES
from workdays.rules.job_shape import LONGEST_MINUTES, MOST_PEOPLE, SHORTEST_MINUTES
from workdays.rules.sizes import SIZES

MATERIAL = ("material", "material_litres")
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


class StepForm(forms.Form):
    """One step of a chain: what, after which, when, how much, with what, from where."""

    refusal_fields = {
        "wait": "wait_hours",
        "winter": "after_winter",
        "season": "season_last",
        "litres": "material_litres",
        "material": "material",
        "elsewhere": "after",
        "after": "wait_hours",
        "minutes": "medium",
        "people": "most",
        "lifters": "lifters",
        "circle": "after",
    }

    kind = forms.ModelChoiceField(
        KindOfWork.objects.all(), label=gettext_lazy("Kind of work"), empty_label=None
    )
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
    after_winter = forms.BooleanField(
        label=gettext_lazy("Only after a whole winter since them"), required=False
    )
    season_first = DayOfYearField(
        gettext_lazy("First day of its season"), help_text=gettext_lazy("Like 1 May.")
    )
    season_last = DayOfYearField(
        gettext_lazy("Last day of its season"), help_text=gettext_lazy("Like 30 September.")
    )
    small = minutes_field(gettext_lazy("Person-minutes at a small stone"))
    medium = minutes_field(gettext_lazy("At a medium stone, or for the whole section"))
    large = minutes_field(gettext_lazy("At a large stone"))
    fewest = WholeField(gettext_lazy("Fewest people"), *(2, MOST_PEOPLE, "people"), initial=2)
    most = WholeField(gettext_lazy("Most people"), *(2, MOST_PEOPLE, "people"), initial=4)
    lifters = WholeField(
        gettext_lazy("Of them able to lift"),
        *(0, MOST_PEOPLE, "people"),
        initial=0,
        help_text=gettext_lazy("At least one for work that lifts."),
    )
    material = forms.ModelChoiceField(
        MixedMaterial.objects.all(),
        label=gettext_lazy("Mixed material it uses"),
        required=False,
        empty_label=gettext_lazy("none"),
    )
    material_litres = AmountField(
        gettext_lazy("Litres of it"), *(0.01, MOST_LITRES, "litres"), required=False
    )
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
        self.equipment = equipment_fields()
        self.fields.update(self.equipment)
        others = template.steps.exclude(pk=step.pk) if step else template.steps.all()
        if others.exists():
            self.fields["after"].queryset = others  # type: ignore[attr-defined]  # its class
            # A step is named by its words here; the chain is the page's.
            self.fields["after"].label_from_instance = _words  # type: ignore[attr-defined]
        else:
            del self.fields["after"]
        self.helper = self._laid_out(submit)

    def _laid_out(self, submit: str) -> Any:
        first = [name for name in ("after", "wait_hours") if name in self.fields]
        return laid_out(
            Fieldset(_("What is done"), "kind", "words", "source"),
            Fieldset(_("When"), *first, "after_winter", Div(*SEASON, css_class="row")),
            Fieldset(_("How much"), *SIZES, "fewest", "most", "lifters"),
            Fieldset(_("With what"), *MATERIAL, Div(*self.equipment, css_class="row")),
            submit=submit,
        )

    def values(self) -> dict[str, Any]:
        """Return the columns of the step; only for a valid form."""
        names = (
            *("kind", "words", "after_winter", "season_first", "season_last", "fewest", "most"),
            *("lifters", "material", "material_litres", "source"),
        )
        said = self.cleaned_data
        return {name: said[name] for name in names} | {
            "wait_hours": said["wait_hours"] or 0,
            "minutes_by_size": {size: said[size] for size in SIZES},
            "equipment": equipment_in(said),
        }

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
