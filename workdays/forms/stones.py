"""Forms of a stone: what it is, and a person's word over the conclusion."""

from typing import Any

from crispy_forms.layout import Fieldset
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField
from workdays.forms.layout import ROWS, both_or_none, laid_out
from workdays.forms.measures import DegreesField, LengthField, MetresField, WholeField
from workdays.models import Cemetery, Section, Stone
from workdays.rules.triage import MARK_WORDS, Kind, Mark, Need

NEEDS = [(need.value, MARK_WORDS[Mark(need.value)]) for need in Need]
LAST_YEAR = 2100


class StoneForm(forms.Form):
    """What is known of a stone; measures of what can be seen and of what is known below."""

    refusal_fields = {"taken": "number"}

    section = forms.ModelChoiceField(
        Section.objects.none(), label=gettext_lazy("Section"), empty_label=None
    )
    number = LineField(label=gettext_lazy("Number"), max_length=40)
    row = WholeField(gettext_lazy("Row"), 0, 500, required=False)
    position = WholeField(gettext_lazy("Place in the row"), 0, 2000, required=False)
    type = forms.ChoiceField(label=gettext_lazy("Type"), choices=Stone.Type.choices)
    material = forms.ChoiceField(
        label=gettext_lazy("Material"),
        choices=Stone.Material.choices,
        initial=Stone.Material.UNKNOWN,
    )
    height_cm = LengthField(gettext_lazy("Height"), 1, 1500, required=False)
    width_cm = LengthField(gettext_lazy("Width"), 1, 600, required=False)
    thickness_cm = LengthField(gettext_lazy("Thickness"), 1, 600, required=False)
    pieces = WholeField(
        gettext_lazy("Pieces"),
        *(1, 200),
        initial=1,
        help_text=gettext_lazy("A whole stone is 1; a base is not counted."),
    )
    east_m = MetresField(gettext_lazy("Metres east of the cemetery's origin"), required=False)
    north_m = MetresField(gettext_lazy("Metres north of the cemetery's origin"), required=False)
    measured_how = LineField(
        label=gettext_lazy("How the place was measured"), max_length=80, required=False
    )
    latitude = DegreesField(gettext_lazy("Latitude"), 90, 6, required=False)
    longitude = DegreesField(gettext_lazy("Longitude"), 180, 6, required=False)
    name_on_stone = LineField(label=gettext_lazy("Name on it"), max_length=160, required=False)
    year_on_stone = WholeField(gettext_lazy("Year on it"), 1000, LAST_YEAR, required=False)
    certainty = forms.ChoiceField(
        label=gettext_lazy("How sure name and year are"),
        choices=Stone.Certainty.choices,
        initial=Stone.Certainty.UNKNOWN,
    )
    notes = ParagraphField(
        label=gettext_lazy("Notes"), max_length=4000, required=False, widget=ROWS
    )

    def __init__(
        self,
        *args: Any,
        cemetery: Cemetery,
        stone: Stone | None = None,
        submit: str,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.cemetery, self.stone = cemetery, stone
        sections = cemetery.sections.order_by("order", "pk")
        self.fields["section"].queryset = sections  # type: ignore[attr-defined]  # its class
        self.helper = laid_out(
            Fieldset(_("Which stone"), "number", "section", "row", "position"),
            Fieldset(_("What it is"), "type", "material", "pieces"),
            Fieldset(_("Measures"), "height_cm", "width_cm", "thickness_cm"),
            Fieldset(_("What it says"), "name_on_stone", "year_on_stone", "certainty"),
            Fieldset(
                _("Where exactly"),
                *("east_m", "north_m", "measured_how", "latitude", "longitude"),
            ),
            Fieldset(_("Notes"), "notes"),
            submit=submit,
        )

    def clean_number(self) -> str:
        """Refuse a number that another stone of the cemetery bears."""
        number: str = self.cleaned_data["number"]
        others = self.cemetery.stones.filter(number__iexact=number)
        if self.stone is not None:
            others = others.exclude(pk=self.stone.pk)
        if others.exists():
            message = _("%(cemetery)s already has a stone %(number)s.")
            raise forms.ValidationError(
                message % {"cemetery": self.cemetery, "number": number}, code="taken"
            )
        return number

    def clean(self) -> dict[str, Any]:
        """Ask for whole places only."""
        both_or_none(self, "east_m", "north_m")
        return both_or_none(self, "latitude", "longitude")


class OverrideForm(forms.Form):
    """A person's word over what triage concluded."""

    refusal_fields = {"no-reason": "reason", "not-seen": "kind"}

    kind = forms.ChoiceField(
        label=gettext_lazy("What holds for this stone"),
        choices=[
            (Kind.LEAVE_ALONE.value, gettext_lazy("leave alone: nothing may touch it")),
            (Kind.CONSERVATOR.value, gettext_lazy("for a conservator: only mending")),
            (Kind.NEEDS.value, gettext_lazy("what is ticked below; nothing ticked is sound")),
        ],
        widget=forms.RadioSelect,
    )
    needs = forms.MultipleChoiceField(
        label=gettext_lazy("What it needs"),
        choices=NEEDS,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    reason = LineField(
        label=gettext_lazy("Why"),
        max_length=250,
        required=False,
        help_text=gettext_lazy(
            "Stricter than before needs no reason. Anything that allows more does: it stands "
            "beside the stone for everybody who works there, and for the owner."
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("kind", "needs", "reason", submit=_("Let this hold"))
