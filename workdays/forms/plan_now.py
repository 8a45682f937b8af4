"""The form of the morning: who still comes, from when to plan, how many people may move."""

from collections import Counter
from datetime import datetime
from typing import Any

from crispy_forms.bootstrap import StrictButton
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.actions.plan_now import STALE, Asked
from workdays.forms.measures import WholeField
from workdays.models import Workday
from workdays.queries.now_page import NowPage
from workdays.queries.plan_keys import moment_of, slot_of
from workdays.rules.morning import Comer, part_words
from workdays.rules.wall_clock import hour

MOST_PEOPLE = 500
NOT_TODAY = "no"
PASSED = _("That hour has begun. Choose a later one.")


class PlanNowForm(forms.Form):
    """One choice for each person who is missing, then what is asked of the planner."""

    refusal_fields = {"since": "since", "most_moved": "most_moved"}

    since = forms.ChoiceField(
        label=_("Plan again from"),
        help_text=_(
            "Jobs that have begun go on, new ones begin then or later. Who comes after that joins "
            "no crew that is at work already before the next break."
        ),
        error_messages={"invalid_choice": PASSED},
    )
    most_moved = WholeField(
        _("Move at most so many people"),
        *(0, MOST_PEOPLE, ""),
        help_text=_("Into another crew or out of one. Not counted: those whose lead has gone."),
    )
    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=2**31)

    def __init__(self, page: NowPage, data: Any = None) -> None:
        hours = _hours(page)
        super().__init__(data, initial={"most_moved": page.most_moved, "version": _version(page)})
        self.page = page
        self.fields["since"].choices = hours  # type: ignore[attr-defined]  # a ChoiceField
        for one in page.asked_about:
            self.fields[_name(one)] = forms.ChoiceField(
                label=_label(one),
                choices=[(NOT_TODAY, _("Not coming today")), *((k, _by(h)) for k, h in hours)],
                initial=_said(page.day, one, hours),
                # Whoever became late since the page was opened was not asked about on it.
                required=data is None or _name(one) in data,
                error_messages={"invalid_choice": PASSED},
            )
        self.helper = FormHelper()
        self.helper.layout = self._layout()

    def _layout(self) -> Layout:
        missing = [_name(one) for one in self.page.asked_about]
        people = [Fieldset(_("Who is not here: do they still come?"), *missing)] if missing else []
        only = StrictButton(
            _("Only note this"), type="submit", name="note", value="1", css_class="btn-secondary"
        )
        note = [only] if missing else []
        go = Submit("plan", _("Plan again with who is here"))
        return Layout(
            *people, "since", "most_moved", "version", Div(go, *note, css_class="actions")
        )

    def clean(self) -> dict[str, Any]:
        """Ask nothing of the planner where people are only noted; a page of nothing is stale."""
        if "note" in self.data:
            for name in ("since", "most_moved", "version"):
                self.errors.pop(name, None)
        elif self.errors.pop("version", None):
            self.add_error(None, STALE)
        return self.cleaned_data

    def words(self) -> dict[int, datetime | None]:
        """Return when each person of the form that was sent still comes; None: not today."""
        sent = (one for one in self.page.asked_about if self.add_prefix(_name(one)) in self.data)
        return {one.person: self._moment(self.cleaned_data[_name(one)]) for one in sent}

    def asked(self) -> Asked:
        """Return what is asked of the planner."""
        since = self._moment(self.cleaned_data["since"])
        assert since is not None  # noqa: S101  # for the type checker
        return Asked(since, self.cleaned_data["most_moved"], self.cleaned_data["version"])

    def _moment(self, slot: str) -> datetime | None:
        return None if slot == NOT_TODAY else moment_of(self.page.day, int(slot))


def _name(comer: Comer) -> str:
    return f"person_{comer.person}"


def _label(comer: Comer) -> str:
    part = part_words(comer)
    return f"{comer.name}, {part}" if part else comer.name


def _version(page: NowPage) -> int:
    return page.plan.version if page.plan else 0


def _hours(page: NowPage) -> list[tuple[str, str]]:
    """Return the quarter hours to choose from; one that comes twice is told apart by its zone."""
    local = [moment.astimezone(page.zone) for moment in page.choices]
    times = Counter(hour(moment) for moment in local)
    return [
        (
            str(slot_of(page.day, moment)),
            hour(moment) if times[hour(moment)] == 1 else f"{hour(moment)} {moment:%Z}",
        )
        for moment in local
    ]


def _by(words: str) -> str:
    return f"Still coming, by {words}"


def _said(day: Workday, comer: Comer, hours: list[tuple[str, str]]) -> str:
    """Return what was said of somebody before, where that hour is still ahead."""
    at = comer.expected_at
    slot = str(slot_of(day, at)) if at and not comer.not_coming_at else NOT_TODAY
    return slot if slot in dict(hours) else NOT_TODAY
