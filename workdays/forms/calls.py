"""The page on which a decision is taken: its reason, and the new hours when it is shortened."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.actions.calls import CallWish
from workdays.forms.fields import LineField
from workdays.rules.calls import MOST_WORDS, DayToCall, Decided
from workdays.rules.wall_clock import NoSuchTime, hour, moment
from workdays.rules.weather import Window
from workdays.rules.weather_call import Decision

PRESS = {
    Decision.STANDS: _("The day stands"),
    Decision.SHORTENED: _("Shorten it, tell everybody"),
    Decision.MOVED: _("Move it, tell everybody"),
    Decision.CALLED_OFF: _("Call it off, tell everybody"),
}


def _clock(label: Any) -> forms.TimeField:
    widget = forms.TimeInput(format="%H:%M", attrs={"type": "time", "step": "900"})
    return forms.TimeField(label=label, widget=widget)


class DecideForm(forms.Form):
    """Asks for what one decision needs; ``wish()`` gives what the action takes.

    ``told``: people were told something before, so that "it stands" can be worth a word.
    """

    decision = forms.CharField(widget=forms.HiddenInput)
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=200)
    starts = _clock(_("Starts"))
    ends = _clock(_("Ends"))
    reason = LineField(
        label=_("Why, in a few words"),
        help_text=_("Everybody concerned reads it."),
        max_length=MOST_WORDS,
        error_messages={"required": _("Say why in a few words.")},
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    tell = forms.BooleanField(label=_("Tell everybody that it stands"), required=False)

    refusal_fields = {"reason": "reason", "starts": "starts", "ends": "ends"}

    def __init__(
        self, *args: Any, decision: Decision, facts: DayToCall, told: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.asked, self.facts = decision, facts
        if decision is not Decision.SHORTENED:
            del self.fields["starts"], self.fields["ends"]
        if decision is not Decision.STANDS or not told:
            del self.fields["tell"]
        if decision is Decision.STANDS:
            self.fields["reason"].help_text = _("Kept with the decision.")
        self.fields["reason"].required = decision is not Decision.STANDS or not facts.has_forecast
        self.helper = FormHelper()
        self.helper.layout = self._layout()

    def _layout(self) -> Layout:
        clocks = [name for name in ("starts", "ends") if name in self.fields]
        rows = [Div(*clocks, css_class="row")] if clocks else []
        rest = [name for name in ("reason", "tell") if name in self.fields]
        press = Submit("press", PRESS[self.asked])
        if self.asked is Decision.CALLED_OFF:
            press.field_classes = "btn btn-danger"
        return Layout("decision", "seen", *rows, *rest, press)

    def clean(self) -> dict[str, Any]:
        """Read the new hours on the clock of the cemetery."""
        found: dict[str, Any] = super().clean() or {}
        for name in ("starts", "ends"):
            if found.get(name) is not None:
                found[f"{name}_at"] = self._moment(name, found[name])
        return found

    def _moment(self, name: str, shown: Any) -> datetime | None:
        try:
            return moment(self.facts.window.starts_at.date(), shown, self.facts.zone)
        except NoSuchTime:
            words = f"There is no {hour(shown)} on this date: the clocks go forward over it."
            self.add_error(name, words)
            return None

    def wish(self) -> CallWish:
        """Return what was asked for."""
        found = self.cleaned_data
        span = None
        if self.asked is Decision.SHORTENED:
            span = Window(found["starts_at"], found["ends_at"])
        decided = Decided(self.asked, found["reason"], span)
        return CallWish(decided, tell=found.get("tell", False), seen=found["seen"])


def first_reason(reasons: Sequence[str]) -> str:
    """Return the reasons of the rules as far as they fit: whole sentences, each rule once.

    A reason says what was found, then the rule.
    """
    by_rule = {reason.partition(". ")[2]: reason for reason in reversed(reasons)}
    words = ""
    for sentence in (reason for reason in reasons if reason in by_rule.values()):
        longer = f"{words} {sentence}".strip()
        if len(longer) > MOST_WORDS:
            break
        words = longer
    return words
