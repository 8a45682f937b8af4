"""The short form for a stone that nobody knew of, filled in on a phone where it lies."""

from typing import Any

from crispy_forms.layout import Fieldset
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField
from workdays.forms.layout import both_or_none, laid_out
from workdays.forms.measures import DegreesField, MetresField, WholeField
from workdays.models import Cemetery, Section, Stone
from workdays.queries.found import free_number_at

HOW = [
    ("under sod", gettext_lazy("under sod")),
    ("under mud", gettext_lazy("under mud or soil")),
    ("under leaves", gettext_lazy("under leaves or brush")),
    ("in the open", gettext_lazy("in the open, only not noted")),
]
PLACES = ("position", "east_m", "latitude", "where")
KNOWN = (
    *("number", "section", "row", "position", "type", "material"),
    *("east_m", "north_m", "measured_how", "latitude", "longitude", "name_on_stone"),
)


class FoundForm(forms.Form):
    """How it was found, where it lies, and the little that one sees at once."""

    refusal_fields = {"taken": "number"}

    how_found = forms.ChoiceField(
        label=gettext_lazy("It was"), choices=HOW, widget=forms.RadioSelect
    )
    number = LineField(
        label=gettext_lazy("Number"),
        max_length=40,
        help_text=gettext_lazy("This one is free. Write another if your list has one for it."),
    )
    section = forms.ModelChoiceField(
        Section.objects.none(), label=gettext_lazy("Section"), empty_label=None
    )
    row = WholeField(gettext_lazy("Row"), 0, 500, required=False)
    position = WholeField(gettext_lazy("Place in the row"), 0, 2000, required=False)
    where = LineField(
        label=gettext_lazy("Or in words"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("For example: two steps behind the obelisk, left of the cedar."),
    )
    east_m = MetresField(gettext_lazy("Metres east of the cemetery's origin"), required=False)
    north_m = MetresField(gettext_lazy("Metres north of the cemetery's origin"), required=False)
    measured_how = LineField(
        label=gettext_lazy("How the place was measured"), max_length=80, required=False
    )
    latitude = DegreesField(gettext_lazy("Latitude"), 90, 6, required=False)
    longitude = DegreesField(gettext_lazy("Longitude"), 180, 6, required=False)
    type = forms.ChoiceField(
        label=gettext_lazy("Type"), choices=Stone.Type.choices, initial=Stone.Type.OTHER
    )
    material = forms.ChoiceField(
        label=gettext_lazy("Material"),
        choices=Stone.Material.choices,
        initial=Stone.Material.UNKNOWN,
    )
    name_on_stone = LineField(
        label=gettext_lazy("Name on it, as far as it can be read"), max_length=160, required=False
    )

    def __init__(self, *args: Any, cemetery: Cemetery, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.cemetery = cemetery
        sections = cemetery.sections.order_by("order", "pk")
        self.fields["section"].queryset = sections  # type: ignore[attr-defined]  # its class
        self.helper = laid_out(
            "how_found",
            Fieldset(_("Where it lies"), "section", "row", "position", "where"),
            Fieldset(_("What you see"), "type", "material", "name_on_stone"),
            "number",
            Fieldset(
                _("If somebody measured or a telephone tells it"),
                *("east_m", "north_m", "measured_how", "latitude", "longitude"),
            ),
            submit=_("Add it, then look at it"),
        )
        self.helper.form_class = "plain"

    def clean_number(self) -> str:
        """Refuse a number that is borne, and name one that is free."""
        number: str = self.cleaned_data["number"]
        if self.cemetery.stones.filter(number__iexact=number).exists():
            words = _("%(cemetery)s already has a stone %(number)s. %(free)s is free.")
            given = {"cemetery": self.cemetery, "number": number}
            free = free_number_at(self.cemetery, near=number)
            raise forms.ValidationError(words % {**given, "free": free}, code="taken")
        return number

    def clean(self) -> dict[str, Any]:
        """Ask for a place by which somebody finds the stone again."""
        both_or_none(self, "east_m", "north_m")
        cleaned = both_or_none(self, "latitude", "longitude")
        if not set(PLACES) & set(self.errors) and all(
            cleaned.get(name) in (None, "") for name in PLACES
        ):
            words = _("Say where it lies, or nobody finds it again: place in the row, or words.")
            self.add_error("where", words)
        return cleaned

    def known(self) -> dict[str, Any]:
        """Return what is known of the stone, as it is stored."""
        values = {name: self.cleaned_data[name] for name in KNOWN}
        return values | {"notes": self.cleaned_data["where"]}

    def how(self) -> str:
        """Return how it was found, in the words of a note."""
        return str(self.cleaned_data["how_found"])
