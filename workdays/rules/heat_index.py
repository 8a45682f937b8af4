"""The heat index of the US National Weather Service.

Source: NWS Weather Prediction Center, The Heat Index Equation; regression by L. P. Rothfusz, NWS
Technical Attachment SR 90-23, 1990. For shade and light wind; full sun adds up to 15 F. The fit
is good to 1.3 F. Temperatures in degrees Fahrenheit, humidity in percent (55, not 0.55).
"""

from __future__ import annotations

from math import sqrt

REGRESSION_FROM_F = 80


def heat_index(temperature_f: float, humidity_percent: float) -> float:
    """Return the heat index in degrees Fahrenheit by the full published algorithm.

    The words of the source allow two readings; this one: the simple value averaged with the
    temperature decides; at 80 F or more the regression and its adjustment hold, below that the
    simple value itself (80 F at 40 % is 79.58).
    """
    plain = simple(temperature_f, humidity_percent)
    if (plain + temperature_f) / 2 < REGRESSION_FROM_F:
        return plain
    return regression(temperature_f, humidity_percent) + adjustment(temperature_f, humidity_percent)


def simple(temperature_f: float, humidity_percent: float) -> float:
    """Return the simple value, for mild air."""
    t = temperature_f
    return 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + humidity_percent * 0.094)


def regression(temperature_f: float, humidity_percent: float) -> float:
    """Return the bare regression, which the printed chart of the NWS shows."""
    t, rh = temperature_f, humidity_percent
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * rh
        - 0.22475541 * t * rh
        - 0.00683783 * t**2
        - 0.05481717 * rh**2
        + 0.00122874 * t**2 * rh
        + 0.00085282 * t * rh**2
        - 0.00000199 * t**2 * rh**2
    )


def adjustment(temperature_f: float, humidity_percent: float) -> float:
    """Return what is added to the regression in very dry or very damp air; else zero."""
    t, rh = temperature_f, humidity_percent
    if rh < 13 and 80 <= t <= 112:
        return -((13 - rh) / 4) * sqrt((17 - abs(t - 95)) / 17)
    if rh > 85 and 80 <= t <= 87:
        return ((rh - 85) / 10) * ((87 - t) / 5)
    return 0.0
