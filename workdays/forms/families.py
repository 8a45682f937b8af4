"""The form of a family whose leave is wanted for some kinds of work at a stone."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField, RowsField
from workdays.forms.layout import ROWS, laid_out
from workdays.forms.measures import DayField
from workdays.models import FamilyLeave, KindOfWork


class FamilyForm(forms.Form):
    """A family, what its leave is wanted for, and how far it is; the rules judge the days."""

    refusal_fields = {
        "no-kinds": "kinds",
        "not-asked": "asked_on",
        "asked": "asked_on",
        "asked-ahead": "asked_on",
        "not-answered": "answered_on",
        "answered": "answered_on",
        "answered-ahead": "answered_on",
        "answered-first": "answered_on",
    }
    TYPED = ("state", "asked_on", "answered_on", "words", "name", "contact")

    kinds = RowsField(
        KindOfWork.objects.all(),
        label=gettext_lazy("Its leave is wanted for"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Tick what the family's leave is wanted for.")},
    )
    state = forms.ChoiceField(
        label=gettext_lazy("How far it is"),
        choices=FamilyLeave.State.choices,
        widget=forms.RadioSelect,
        initial=FamilyLeave.State.WANTED,
        help_text=gettext_lazy("Until it is given, jobs of these kinds wait at this stone."),
    )
    asked_on = DayField(gettext_lazy("Asked on"), required=False)
    answered_on = DayField(gettext_lazy("Answered on"), required=False)
    words = ParagraphField(
        label=gettext_lazy("Their answer, in their words"),
        max_length=8000,
        required=False,
        widget=ROWS,
    )
    name = LineField(
        label=gettext_lazy("Name of the family"),
        max_length=120,
        help_text=gettext_lazy("Seen by organisers of this cemetery only."),
    )
    contact = LineField(label=gettext_lazy("How to reach them"), max_length=250, required=False)

    def __init__(self, *args: Any, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("kinds", *self.TYPED, submit=submit)

    def values(self) -> dict[str, Any]:
        """Return the columns of the family."""
        return {name: self.cleaned_data[name] for name in self.TYPED}
