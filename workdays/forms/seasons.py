"""A day of the year without a year, as the ends of a season are typed: 1 May."""

import calendar
import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django_stubs_ext import StrOrPromise

MONTHS = {name.lower()[:3]: number for number, name in enumerate(calendar.month_name) if name}
SEASON = ("season_first", "season_last")
LEAP_YEAR = 2000  # so that 29 February can be an end
TYPED = re.compile(r"(?:(\d{1,2})\.? +([a-z]{3,9})|([a-z]{3,9}) +(\d{1,2}))\.?")


class DayOfYearField(forms.CharField):
    """A day and a month; stored as month times 100 plus day, None when nothing was typed."""

    def __init__(self, label: StrOrPromise, **kw: Any) -> None:
        widget = forms.TextInput(attrs={"autocomplete": "off", "class": "numberinput"})
        given: dict[str, Any] = {"widget": widget, "required": False, "max_length": 40} | kw
        super().__init__(label=label, **given)

    def prepare_value(self, value: Any) -> Any:
        """Return a stored end as people write it; what was typed stays as typed."""
        if not isinstance(value, int):
            return value
        month, day = divmod(value, 100)
        return f"{day} {calendar.month_name[month]}"

    def clean(self, value: Any) -> int | None:
        """Return the day of the year."""
        typed = " ".join(str(super().clean(value)).split())
        if not typed:
            return None
        found = TYPED.fullmatch(typed.lower())
        day, month = (found[1] or found[4], found[2] or found[3]) if found else ("0", "")
        number = MONTHS.get(month[:3], 0)
        named = number and calendar.month_name[number].lower().startswith(month)
        if not named or not 1 <= int(day) <= calendar.monthrange(LEAP_YEAR, number)[1]:
            raise ValidationError(_("Write a day and a month, like 1 May."), code="season")
        return number * 100 + int(day)
