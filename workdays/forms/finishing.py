"""The form that notes work as done which no day of ours closed."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField
from workdays.forms.layout import laid_out
from workdays.forms.measures import ClockField, DayField


class DoneForm(forms.Form):
    """When a job was done, and by whom."""

    refusal_fields = {"future": "on", "too-old": "on"}

    on = DayField(gettext_lazy("Done on"))
    at = ClockField(
        gettext_lazy("Finished at"),
        required=False,
        help_text=gettext_lazy("What waits counts from then; empty: from the end of that day."),
    )
    words = LineField(
        label=gettext_lazy("Who did it, and how"),
        max_length=250,
        required=False,
        help_text=gettext_lazy("Added to the notes of the job."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("on", "at", "words", submit=_("Note that it is done"))
