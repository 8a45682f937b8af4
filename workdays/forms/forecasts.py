"""Forecasts as people enter them: by hand, in degrees Fahrenheit and mph, or as a file."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout, Submit
from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _
from django_stubs_ext import StrOrPromise

from workdays.forecasts.sources import MOST_BYTES, Reading, by_hand, from_file
from workdays.models import Workday
from workdays.queries.weather import window_of
from workdays.rules.units import celsius, kilometres
from workdays.rules.wall_clock import day_words, hour
from workdays.rules.weather import HourFacts, Thunder, hours_of

THUNDER = [("yes", _("yes")), ("no", _("no")), ("unknown", _("not known"))]
THUNDER_HERE = [("", _("as on the whole day")), ("yes", _("yes")), ("no", _("no"))]
DIFFERS = HTML(
    "<details{% if form.differs %} open{% endif %}><summary>{{ form.differs_words }}</summary>"
)


def _number(
    label: StrOrPromise, low: int, high: int, *, help_text: StrOrPromise = ""
) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        help_text=help_text,
        required=False,
        min_value=low,
        max_value=high,
        max_digits=6,
        decimal_places=1,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
    )


def _fahrenheit(label: StrOrPromise, *, help_text: StrOrPromise = "") -> forms.DecimalField:
    field = _number(label, -76, 140, help_text=help_text)  # -60 to 60 C
    field.widget.attrs["inputmode"] = "text"  # a phone's digits have no minus sign
    return field


class HandForm(forms.Form):
    """A forecast by hand: the air of each hour, one value for the rest, what lies around the day.

    Hours are named by their moment, so that what was typed stays with its hour.
    """

    humidity = _number(
        _("Humidity, %"), 0, 100, help_text=_("With it the heat index can be told; else watch.")
    )
    thunder = forms.ChoiceField(label=_("Thunder"), choices=THUNDER, initial="unknown")
    wind = _number(_("Wind, mph"), 0, 180)
    gusts = _number(_("Gusts, mph"), 0, 250)
    rain_chance = _number(_("Chance of rain, %"), 0, 100)

    differs_words = _("Hours with another humidity or thunder")

    def __init__(self, *args: Any, day: Workday, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.window = window_of(day)
        self.hours = {f"{at.timestamp() / 3600:.0f}": at for at in hours_of(self.window)}
        for key, at in self.hours.items():
            self._add_hour(key, self._label(at))
        self._add_lowest()
        self.helper = FormHelper()
        self.helper.layout = self._layout()

    def _label(self, at: datetime) -> str:
        """Return "9:00"; with its offset where the clock shows the hour twice."""
        words = hour(at)
        twice = sum(hour(one) == words for one in self.hours.values()) > 1
        return f"{words} ({at:%Z})" if twice else words

    def _add_hour(self, key: str, words: str) -> None:
        self.fields[f"air_{key}"] = _fahrenheit(f"{words}, °F")
        self.fields[f"humidity_{key}"] = _number(f"{words}, humidity, %", 0, 100)
        self.fields[f"thunder_{key}"] = forms.ChoiceField(
            label=f"{words}, thunder", choices=THUNDER_HERE, required=False
        )

    def _add_lowest(self) -> None:
        starts, ends = self.window.starts_at, self.window.ends_at
        self.fields["lowest_before"] = _fahrenheit(
            f"Lowest of the 24 hours before {hour(starts)}, °F",
            help_text=_("32 °F is frost: water in the stone freezes."),
        )
        self.fields["lowest_after"] = _fahrenheit(
            f"Lowest of the 48 hours after {hour(ends)}, °F",
            help_text=_("The coldest of the two nights that follow."),
        )

    def _layout(self) -> Layout:
        keys = list(self.hours)
        when = day_words(self.window.starts_at.date())
        differing = [
            Div(f"humidity_{key}", f"thunder_{key}", css_class="row plain") for key in keys
        ]
        return Layout(
            Fieldset(f"Air on {when}", Div(*[f"air_{key}" for key in keys], css_class="row plain")),
            Fieldset(
                _("The same for all hours"),
                Div("humidity", "thunder", css_class="row plain"),
                Div("wind", "gusts", "rain_chance", css_class="row plain"),
                DIFFERS,
                *differing,
                HTML("</details>"),
            ),
            Fieldset(_("Air around the day"), "lowest_before", "lowest_after", css_class="plain"),
            Submit("keep", _("Keep this forecast")),
        )

    @property
    def differs(self) -> bool:
        """Return whether some hour has its own humidity or thunder, or an error there."""
        names = [name for name in self.fields if name.startswith(("humidity_", "thunder_"))]
        return any(self[name].value() or self[name].errors for name in names)

    def clean(self) -> dict[str, Any]:
        """Read the hours; refuse a form without one temperature."""
        found: dict[str, Any] = super().clean() or {}
        if not self.errors and all(found.get(f"air_{key}") is None for key in self.hours):
            raise forms.ValidationError(_("Enter the air of at least one hour of the day."))
        if not self.errors:
            reading = self.reading()
            found["hours"] = reading.hours
            if reading.problems:
                raise forms.ValidationError(list(reading.problems))
        return found

    def reading(self) -> Reading:
        """Return what was typed as hours around the day."""
        found = self.cleaned_data
        return by_hand(
            self._typed(),
            window=self.window,
            lowest_before_c=_celsius(found.get("lowest_before")),
            lowest_after_c=_celsius(found.get("lowest_after")),
        )

    def _typed(self) -> Iterator[HourFacts]:
        found = self.cleaned_data
        for key, at in self.hours.items():
            own = found.get(f"humidity_{key}")
            yield HourFacts(
                at,
                temperature_c=_celsius(found.get(f"air_{key}")),
                humidity_percent=found.get("humidity") if own is None else own,
                wind_kmh=_kmh(found.get("wind")),
                gust_kmh=_kmh(found.get("gusts")),
                rain_chance_percent=found.get("rain_chance"),
                thunder=Thunder(found.get(f"thunder_{key}") or found["thunder"]),
            )


def _celsius(typed: Decimal | None) -> Any:
    return None if typed is None else celsius(typed)


def _kmh(typed: Decimal | None) -> Any:
    return None if typed is None else kilometres(typed)


class FileForm(forms.Form):
    """A forecast file; everything wrong with it is said at once beside the field."""

    file = forms.FileField(
        label=_("Forecast file"),
        help_text=_("JSON, at most 1 MB, from 24 hours before the day to 48 hours after it."),
        allow_empty_file=True,
        max_length=200,
        widget=forms.ClearableFileInput(attrs={"accept": ".json,application/json"}),
        error_messages={"required": _("Choose a file first.")},
    )

    def __init__(self, *args: Any, day: Workday, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.day = day
        self.helper = FormHelper()
        self.helper.layout = Layout("file", Submit("keep", _("Read this file")))

    def clean_file(self) -> tuple[HourFacts, ...]:
        """Return the hours of the file."""
        sent: UploadedFile[bytes] = self.cleaned_data["file"]
        # One byte more than is allowed is enough to know that it is too large.
        reading = from_file(sent.read(MOST_BYTES + 1), window=window_of(self.day))
        if reading.problems:
            raise forms.ValidationError(list(reading.problems))
        return reading.hours
