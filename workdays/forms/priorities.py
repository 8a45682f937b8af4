"""The form of many priorities at once: a number a job, changed ones are set by hand."""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from workdays.forms.fields import is_number
from workdays.forms.measures import WholeField
from workdays.queries.priorities import PriorityRow
from workdays.rules.suggesting import LEAST, MOST

PREFIX = "priority_"


def jobs_sent(posted: QueryDict) -> list[int]:
    """Return the ids of the jobs that a form was sent with."""
    names = [name.removeprefix(PREFIX) for name in posted if name.startswith(PREFIX)]
    return [int(name) for name in names if is_number(name)]


class PrioritiesForm(forms.Form):
    """A number for each job shown; what somebody else changed meanwhile is not typed over."""

    take = forms.CharField(required=False)

    def __init__(self, rows: Iterable[PriorityRow], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = list(rows)
        for row in self.rows:
            # The number that was shown travels along: only what was typed counts as typed.
            field = WholeField(
                _("Priority of %(job)s") % {"job": f"{row.job.kind.name}, {row.where}"},
                *(LEAST, MOST),
                initial=row.job.priority,
                show_hidden_initial=True,
            )
            field.widget.attrs["class"] = "form-control numberinput"
            self.fields[f"{PREFIX}{row.job.pk}"] = field

    def lines(self) -> Iterator[tuple[PriorityRow, forms.BoundField]]:
        """Return each job with its field."""
        return ((row, self[f"{PREFIX}{row.job.pk}"]) for row in self.rows)

    def typed(self) -> dict[int, int]:
        """Return the numbers that differ from those shown, by job; only for a valid form."""
        return {
            row.job.pk: self.cleaned_data[name]
            for row in self.rows
            if (name := f"{PREFIX}{row.job.pk}") in self.changed_data
        }

    def taken(self) -> list[int]:
        """Return the one job whose suggestion was taken, or nothing."""
        asked = self.cleaned_data["take"]
        return [row.job.pk for row in self.rows if str(row.job.pk) == asked]

    @property
    def takes_all(self) -> bool:
        """Return whether every suggestion shown was taken."""
        return bool(self.cleaned_data["take"] == "all")
