"""What the forms of a job and of a step of a chain both ask of work."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from workdays.forms.equipment import equipment_fields, equipment_in
from workdays.forms.layout import laid_out
from workdays.forms.measures import AmountField, WholeField
from workdays.forms.seasons import SEASON, DayOfYearField
from workdays.models import KindOfWork, MixedMaterial
from workdays.rules.chain_step import MOST_LITRES
from workdays.rules.job_shape import MOST_PEOPLE

MATERIAL = ("material", "material_litres")
PEOPLE = ("fewest", "most", "lifters")


class WorkForm(forms.Form):
    """A kind of work: how many people do it, when in the year, and what it uses."""

    refusal_fields: ClassVar[dict[str, str]] = {
        "lifters": "lifters",
        "wait": "wait_hours",
        "winter": "after_winter",
        "season": "season_last",
        "litres": "material_litres",
        "material": "material",
    }
    COLUMNS: ClassVar[tuple[str, ...]] = ("kind", *PEOPLE, "after_winter", *SEASON, *MATERIAL)

    kind = forms.ModelChoiceField(
        KindOfWork.objects.all(), label=gettext_lazy("Kind of work"), empty_label=None
    )
    fewest = WholeField(gettext_lazy("Fewest people"), *(2, MOST_PEOPLE, "people"), initial=2)
    most = WholeField(gettext_lazy("Most people"), *(2, MOST_PEOPLE, "people"), initial=4)
    lifters = WholeField(
        gettext_lazy("Of them able to lift"),
        *(0, MOST_PEOPLE, "people"),
        initial=0,
        help_text=gettext_lazy("At least one for work that lifts."),
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
    material = forms.ModelChoiceField(
        MixedMaterial.objects.all(),
        label=gettext_lazy("Mixed material it uses"),
        required=False,
        empty_label=gettext_lazy("none"),
    )
    material_litres = AmountField(
        gettext_lazy("Litres of it"), *(0.01, MOST_LITRES, "litres"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.equipment = equipment_fields()
        self.fields.update(self.equipment)

    def lay_out(self, *parts: Any, submit: str) -> None:
        """Show the parts in one column; errors are summed up in the order of the page."""
        self.helper = laid_out(*parts, submit=submit)
        self.order_fields([found.name for found in self.helper.layout.get_field_names()])

    def clean_wait_hours(self) -> int:
        """Return 0 for an empty wait; each form says itself how long one may be."""
        return self.cleaned_data["wait_hours"] or 0

    def values(self) -> dict[str, Any]:
        """Return the columns of the job or step; only for a valid form."""
        names = [name for name in self.COLUMNS if name in self.cleaned_data]
        values = {name: self.cleaned_data[name] for name in names}
        return values | {"equipment": equipment_in(self.cleaned_data)}
