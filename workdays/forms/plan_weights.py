"""The form of the points by which the plans of a day are judged."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms

from workdays.forms.measures import WholeField
from workdays.rules.facts import Weights
from workdays.rules.plan_weights import AIMS, HIGH, LOW, Aim


class WeightsForm(forms.Form):
    """A whole number for each aim."""

    def __init__(self, weights: Weights, terms: Mapping[str, int], *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.terms = terms
        for aim in AIMS:
            field = WholeField(aim.label, LOW, HIGH, initial=getattr(weights, aim.key))
            field.widget.attrs["class"] = "form-control numberinput"
            self.fields[aim.key] = field

    def lines(self) -> Iterator[tuple[Aim, forms.BoundField, int | None]]:
        """Give each aim with its field, and the points that the plan has of it now."""
        return ((aim, self[aim.key], self.terms.get(aim.key)) for aim in AIMS)
