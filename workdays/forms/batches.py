"""Forms of the page of batches: which date, and which jobs are meant for its day."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.forms.fields import RowsField, is_number
from workdays.forms.measures import DayField
from workdays.models import Cemetery, Job, Workday


class BatchDateForm(forms.Form):
    """The date that batches are asked for."""

    on = DayField(_("Day"))


class BatchPutForm(forms.Form):
    """Jobs of one cemetery that share batches, and the day that they are meant for."""

    day = forms.ModelChoiceField(
        Workday.objects.none(),
        error_messages={"invalid_choice": _("This day is over, or it is elsewhere.")},
    )
    jobs = RowsField(
        Job.objects.none(),
        error_messages={
            "invalid_choice": _("One of the jobs is done, dropped or elsewhere by now."),
            "invalid_pk_value": _("One of the jobs is not a number. Choose from the list."),
        },
    )

    def __init__(self, *args: Any, cemetery: Cemetery, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = cemetery.jobs.filter(state=Job.State.OPEN)
        self.fields["jobs"].queryset = rows  # type: ignore[attr-defined]  # its class
        days = cemetery.days.all()
        typed = self.data.get("day", "")
        known = days if is_number(typed) else days.none()
        self.fields["day"].queryset = known  # type: ignore[attr-defined]  # its class
