"""Which jobs are meant for a day: boxes, ticked or not."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.forms.fields import RowsField, is_number
from workdays.models import Job, Workday


class JobsForm(forms.Form):
    """The jobs ticked for a day; only open ones of its cemetery are a choice."""

    jobs = RowsField(
        Job.objects.none(),
        required=False,
        error_messages={
            "invalid_choice": _("One of the jobs is done, dropped or elsewhere by now."),
            "invalid_pk_value": _("One of the jobs is not a number. Choose from the list."),
        },
    )

    def __init__(self, *args: Any, day: Workday, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = Job.objects.filter(cemetery=day.cemetery_id, state=Job.State.OPEN)
        rows = rows.select_related("kind", "stone", "section")
        self.fields["jobs"].queryset = rows  # type: ignore[attr-defined]  # its class

    def picked(self) -> set[int]:
        """Return the numbers that were ticked, also of a form that is refused."""
        names = self.data.getlist("jobs") if hasattr(self.data, "getlist") else []
        return {int(name) for name in names if is_number(name)}
