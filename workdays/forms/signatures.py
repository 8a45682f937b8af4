"""The form by which an organiser notes that a signature holds no longer."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.layout import laid_out

REASONS = [
    ("asked", gettext_lazy("the person, or the guardian, asked for it")),
    ("no-right", gettext_lazy("whoever signed had no right to")),
    ("mistake", gettext_lazy("it was noted by mistake")),
]


class TakeBackForm(forms.Form):
    """Why a signature holds no longer: one of a list, so that the audit names nobody."""

    why = forms.ChoiceField(
        label=gettext_lazy("Why"),
        choices=REASONS,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say why it holds no longer.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("why", submit=_("It holds no longer"))
