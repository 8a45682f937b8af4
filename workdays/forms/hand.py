"""What a hand does to a plan, as its page sends it."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from workdays.queries.hands_page import Card, Chip, Hands

ACTS = {
    "put": _("put"),
    "out": _("take out"),
    "swap": _("change places"),
    "earlier": _("earlier"),
    "later": _("later"),
    "pin": _("pin"),
    "unpin": _("take the pin out"),
    "lock": _("lock"),
    "unlock": _("unlock"),
    "apart": _("keep apart"),
    "together": _("let be in one crew"),
}
NOT_THERE = _("That is not on the plan any more; here it is as it stands now.")
NO_CREW = _("Choose the crew, one of those below.")
NOT_FOR_THIS = _("This cannot be done with what you picked up.")
WHO_ELSE = _("Choose the other person.")
FOR_PEOPLE = {"swap", "apart", "together"}
FOR_JOBS = {"earlier", "later"}
FOR_CREWS = {"lock", "unlock"}


@dataclass(frozen=True)
class Hand:
    """One change: what is done, to whom or what, and with whom."""

    act: str
    chip: Chip | None
    card: Card | None
    to: Card | None
    other: Person | None
    version: int

    @property
    def words(self) -> str:
        """Return who or what is changed, in words."""
        thing = self.chip or self.card
        return thing.words if thing else ""


class VersionForm(forms.Form):
    """The version of a plan that somebody looked at."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class HandForm(forms.Form):
    """What is picked up, what is done with it, and where it goes."""

    act = forms.ChoiceField(choices=list(ACTS.items()), required=False)
    take = forms.CharField(max_length=40)
    to = forms.CharField(max_length=40, required=False)
    other = forms.CharField(max_length=40, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, hands: Hands, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"version": hands.plan.version})
        super().__init__(*args, **kwargs)
        self.hands = hands

    def clean_take(self) -> str:
        """Refuse what is not on the plan."""
        key = str(self.cleaned_data["take"])
        if key not in self.hands.chips and key not in self.hands.cards:
            raise forms.ValidationError(NOT_THERE)
        return key

    def clean(self) -> dict[str, Any]:
        """Refuse what cannot be done with what is picked up, and a target that is none."""
        data = super().clean() or self.cleaned_data
        if "take" in data and "act" in data:
            act, chip = data["act"] or "put", self.hands.chips.get(data["take"])
            if not _fits(act, chip):
                self.add_error(None, NOT_FOR_THIS)
            elif act == "put" and f"c{data.get('to')}" not in self.hands.cards and not self.alone:
                self.add_error("to", NO_CREW)
            elif act in FOR_PEOPLE and data.get("other") not in self.hands.people:
                self.add_error("other", WHO_ELSE)
        return data

    @property
    def alone(self) -> bool:
        """Return whether somebody is to begin a crew of their own."""
        return self.cleaned_data.get("to") == "own"

    def hand(self) -> Hand:
        """Return the change; of a form that is valid."""
        data = self.cleaned_data
        return Hand(
            act=data["act"] or "put",
            chip=self.hands.chips.get(data["take"]),
            card=self.hands.cards.get(data["take"]),
            to=self.hands.cards.get(f"c{data['to']}"),
            other=self.hands.people.get(data["other"]),
            version=data["version"],
        )


def _fits(act: str, chip: Chip | None) -> bool:
    """Return whether an act is for people, for jobs or for crews, as what is picked up is."""
    if chip is None:
        return act in FOR_CREWS
    if chip.person is None:
        return act not in FOR_PEOPLE | FOR_CREWS
    return act not in FOR_JOBS | FOR_CREWS
