"""The form of a look ahead: which work, on days like which, and who comes."""

import calendar
from collections.abc import Mapping
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout, Submit
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.layout import folded, note
from workdays.forms.measures import AmountField, DayField, WholeField
from workdays.queries.ahead import AheadGround, Question
from workdays.rules.ahead_help import leaders

MONTHS = [(str(number), calendar.month_name[number]) for number in range(1, 13)]
NO_SECTION = gettext_lazy("That is no section of this cemetery with work to do.")
NO_KIND = gettext_lazy("That is no kind of work that is to do here.")
NO_MONTH = gettext_lazy("Choose a month.")
PAST, HAND, ALL = "past", "hand", "all"


class AheadForm(forms.Form):
    """What a look ahead is asked for; it changes nothing, so it is part of the address."""

    section = forms.ChoiceField(
        label=gettext_lazy("Where"), error_messages={"invalid_choice": NO_SECTION}
    )
    kind = forms.ChoiceField(
        label=gettext_lazy("Which work"),
        error_messages={"invalid_choice": NO_KIND},
    )
    stones = WholeField(
        gettext_lazy("Stones that were promised"),
        *(1, 10_000, "stones"),
        required=False,
    )
    by = DayField(gettext_lazy("By"), required=False)
    begins = DayField(gettext_lazy("First day"))
    a_month = WholeField(gettext_lazy("Days a month"), 1, 20, "days")
    hours = AmountField(gettext_lazy("Hours of work a day"), 1, 10, "hours")
    first_month = forms.ChoiceField(
        choices=MONTHS, label=gettext_lazy("From"), error_messages={"invalid_choice": NO_MONTH}
    )
    last_month = forms.ChoiceField(
        choices=MONTHS, label=gettext_lazy("Until"), error_messages={"invalid_choice": NO_MONTH}
    )
    who = forms.ChoiceField(
        label=gettext_lazy("Who comes"),
        choices=[
            (PAST, gettext_lazy("who came to past days, as often as they came")),
            (HAND, gettext_lazy("as I say below")),
        ],
        widget=forms.RadioSelect,
    )
    unled = forms.BooleanField(
        label=gettext_lazy("Count work too that nobody who comes may lead"), required=False
    )
    helpers = WholeField(gettext_lazy("People who help and lead nothing"), 0, 200, "people")
    often = WholeField(gettext_lazy("Each of them comes to so many days of ten"), 1, 10, "days")

    def __init__(self, data: Mapping[str, Any], *, ground: AheadGround) -> None:
        self.ground = ground
        super().__init__({**initial(ground), **{key: data[key] for key in data}})
        sections = [(str(pk), name) for pk, name in ground.sections]
        self.fields["section"].choices = [(ALL, _("the whole cemetery")), *sections]  # type: ignore[attr-defined]  # its class
        kinds = [(kind.key, kind.name) for kind in ground.work_kinds]
        self.fields["kind"].choices = [(ALL, _("all of it")), *kinds]  # type: ignore[attr-defined]  # its class
        for kind in ground.led:
            self.fields[f"lead_{kind.id}"] = WholeField(leaders(kind), 0, 50, "people")
        self.helper = self._laid_out()

    def _laid_out(self) -> FormHelper:
        helper = FormHelper()
        helper.form_method = "get"
        helper.disable_csrf = True
        led = [f"lead_{kind.id}" for kind in self.ground.led]
        helper.layout = Layout(
            Fieldset(
                _("Ask for other work or other days"),
                Div("section", "kind", css_class="row"),
                Div("stones", "by", css_class="row"),
                Div("begins", "a_month", "hours", css_class="row"),
                Div("first_month", "last_month", css_class="halves"),
                "who",
                "unled",
            ),
            *folded(
                _("Who comes, by hand"),
                note(_("Count each person once, at the work that fewest others may lead.")),
                "helpers",
                *led,
                "often",
                is_open=self.data.get("who") == HAND,
            ),
            Submit("", _("Look ahead")),
        )
        return helper

    def clean(self) -> dict[str, Any]:
        """Refuse dates that are over or too far, and a promise that ends before it begins."""
        cleaned, today = super().clean() or {}, self.ground.today
        begins, by = cleaned.get("begins"), cleaned.get("by")
        if begins and not today <= begins <= date(today.year + 3, 12, 31):
            self.add_error("begins", _("Give a day from today on, within three years."))
        elif begins and by and by < begins:
            self.add_error("by", _("Give a day after the first one."))
        return cleaned

    def question(self) -> Question:
        """Return what is asked; only for a valid form."""
        said = self.cleaned_data
        led = {kind.id: said[f"lead_{kind.id}"] for kind in self.ground.led}
        by_hand = said["who"] == HAND
        return Question(
            section=0 if said["section"] == ALL else int(said["section"]),
            kind="" if said["kind"] == ALL else said["kind"],
            stones=said["stones"],
            by=said["by"],
            begins=said["begins"],
            a_month=said["a_month"],
            hours=said["hours"],
            months=(int(said["first_month"]), int(said["last_month"])),
            hand=(said["helpers"], led, said["often"]) if by_hand else None,
            unled=said["unled"],
        )


def initial(ground: AheadGround) -> dict[str, Any]:
    """Return what is asked for where the address says nothing."""
    usual = ground.turnout
    return {
        "section": ALL,
        "kind": ALL,
        "begins": ground.first_day.isoformat(),
        "a_month": "2",
        "hours": f"{usual.hours or 5:g}",
        "first_month": str(ground.months[0]),
        "last_month": str(ground.months[1]),
        "who": PAST if usual.people else HAND,
        "helpers": "0",
        "often": "6",
        **{f"lead_{kind.id}": "0" for kind in ground.led},
    }
