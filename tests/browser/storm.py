"""A forecast file of a day on which thunder stands over the cemetery from start to end."""

import json
from datetime import datetime, timedelta

HOUR = timedelta(hours=1)


def forecast(starts_at: datetime, ends_at: datetime) -> bytes:
    """Return the hours from a day before the start to two days after the end."""
    first, last = starts_at - 24 * HOUR, ends_at + 48 * HOUR
    hours = [first + n * HOUR for n in range((last - first) // HOUR + 1)]
    return json.dumps(
        {
            "hours": [
                {
                    "at": at.isoformat(timespec="minutes"),
                    "temperature_c": 17,
                    "humidity_percent": 85,
                    "wind_kmh": 25,
                    "gust_kmh": 70,
                    "rain_mm": 6,
                    "rain_chance_percent": 95,
                    "thunder": "yes" if starts_at <= at < ends_at else "no",
                }
                for at in hours
            ]
        }
    ).encode()
