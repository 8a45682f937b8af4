"""Fields of numbers, days and times that answer an absurd value in one sentence."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django_stubs_ext import StrOrPromise

from workdays.rules.units import length_cm, rounded

MOST_CM = 1_000_000


def between(low: float, high: float, unit: str) -> Callable[[float | Decimal], None]:
    """Return a check that a number lies within bounds, both included."""

    def check(value: float | Decimal) -> None:
        if not low <= value <= high:
            raise ValidationError(_bounds(low, high, unit), code="bounds")

    return check


def _bounds(low: float, high: float, unit: str) -> str:
    words = _("Give a number from %(low)s to %(high)s") % {"low": f"{low:g}", "high": f"{high:g}"}
    return f"{words}{f' {unit}' if unit else ''}."


def centimetres(low: float, high: float) -> Callable[[float | Decimal], None]:
    """Return a check of a measure in centimetres that shows how long the typed one would be."""

    def check(value: float | Decimal) -> None:
        if not low <= value <= high:
            metres = f"{float(value) / 100:,.10g}"
            typed = {"value": f"{float(value):.10g}", "metres": metres}
            meant = _("%(value)s cm would be %(metres)s m.") % typed
            raise ValidationError(f"{_bounds(low, high, 'cm')} {meant}", code="bounds")

    return check


class WholeField(forms.IntegerField):
    """A whole number within bounds; ``unit`` stands in the sentence that refuses."""

    default_error_messages = {"invalid": "Give a whole number, in digits."}

    def __init__(self, label: StrOrPromise, low: int, high: int, unit: str = "", **kw: Any) -> None:
        attrs = {"inputmode": "numeric", "min": low, "max": high}
        check = centimetres(low, high) if unit == "cm" else between(low, high, unit)
        widget = forms.NumberInput(attrs=attrs)
        given: dict[str, Any] = {"widget": widget, "validators": [check]} | kw
        super().__init__(label=label, **given)


class AmountField(forms.FloatField):
    """A number with a decimal part, within bounds; ``unit`` stands in the sentence that refuses."""

    default_error_messages = {"invalid": "Give a number, for example 2.5."}

    def __init__(
        self, label: StrOrPromise, low: float, high: float, unit: str = "", **kw: Any
    ) -> None:
        widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
        given: dict[str, Any] = {"widget": widget, "validators": [between(low, high, unit)]} | kw
        super().__init__(label=label, **given)


class LengthField(forms.CharField):
    """A length in whole centimetres, typed as people measure: 61, 24 in, 2 ft 3 in, 0.61 m."""

    default_help_text = gettext_lazy("A bare number is cm; 24 in and 2 ft are read too.")

    def __init__(self, label: StrOrPromise, low: float, high: float, **kw: Any) -> None:
        widget = forms.TextInput(attrs={"autocomplete": "off", "class": "numberinput"})
        given: dict[str, Any] = {"widget": widget, "help_text": self.default_help_text} | kw
        super().__init__(label=label, **given)
        self.check = centimetres(low, high)

    def clean(self, value: Any) -> float | None:
        """Return the nearest whole centimetre; None when nothing was typed."""
        typed = super().clean(value)
        if not typed:
            return None
        try:
            length = length_cm(typed)
        except ValueError as said:
            raise ValidationError(str(said), code="length") from None
        if length > MOST_CM:  # so that the sentence does not show thirty digits
            raise ValidationError(_("This is longer than any stone."), code="bounds")
        kept = self.kept(length)
        self.check(kept)
        return kept

    def kept(self, length: Fraction) -> float:
        """Return a length as it is stored."""
        return rounded(length)


class FineLengthField(LengthField):
    """A length in tenths of a centimetre, typed as people measure: 2 in are 5.1 cm."""

    def kept(self, length: Fraction) -> float:
        """Return a length as it is stored."""
        return rounded(length * 10) / 10

    def prepare_value(self, value: Any) -> Any:
        """Show 7.0 as 7."""
        return f"{value:g}" if isinstance(value, float) else value


class MetresField(forms.FloatField):
    """Metres east or north of the cemetery's origin; negative is west or south."""

    default_error_messages = {"invalid": "Give metres as a number, for example 12.5."}

    def __init__(self, label: StrOrPromise, **kw: Any) -> None:
        widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
        check = between(-5000, 5000, "m")
        given: dict[str, Any] = {"widget": widget, "validators": [check]} | kw
        super().__init__(label=label, **given)


class DegreesField(forms.DecimalField):
    """Latitude or longitude in decimal degrees."""

    default_error_messages = {"invalid": "Give decimal degrees, for example 42.28081."}

    def __init__(self, label: StrOrPromise, most: int, places: int, **kw: Any) -> None:
        widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
        checks = [between(-most, most, "degrees")]
        given: dict[str, Any] = {"widget": widget, "validators": checks} | kw
        super().__init__(label=label, max_digits=places + 3, decimal_places=places, **given)


class DayField(forms.DateField):
    """A date, as the browser's own calendar gives it."""

    default_error_messages = {"invalid": "Write the date like 2026-05-09."}

    def __init__(self, label: StrOrPromise, **kw: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(label=label, **({"widget": widget} | kw))

    def to_python(self, value: Any) -> Any:
        """Return the date; years that no record of this kind bears are refused."""
        found = super().to_python(value)
        if found is not None and not 1900 <= found.year <= 2200:
            raise ValidationError(_("Give a year from 1900 to 2200."), code="year")
        return found


class ClockField(forms.TimeField):
    """A time of day, as the clock of the place shows it."""

    default_error_messages = {"invalid": "Write the time like 12:00."}

    def __init__(self, label: StrOrPromise, **kw: Any) -> None:
        widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
        super().__init__(label=label, **({"widget": widget} | kw))
