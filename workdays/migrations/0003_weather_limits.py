"""Seed the weather limits that hold for every cemetery without a row of its own.

The rows come from the rules, so that one place holds each value with its source; a limit that
changes later needs a migration that updates its row.
"""

from django.db import migrations

from workdays.rules.weather_limits import DEFAULT_LIMITS

COLUMNS = (
    "applies_to",
    "measure",
    "comparison",
    "value",
    "unit",
    "verdict",
    "hours_before",
    "hours_after",
    "sentence",
    "source",
)


def seed(apps, schema_editor):
    """Add the general rows that are not there yet."""
    model = apps.get_model("workdays", "WeatherLimit")
    for limit in DEFAULT_LIMITS:
        values = {column: getattr(limit, column) for column in COLUMNS}
        model.objects.get_or_create(cemetery=None, key=limit.key, defaults=values)


def unseed(apps, schema_editor):
    """Take the general rows out again."""
    keys = [limit.key for limit in DEFAULT_LIMITS]
    model = apps.get_model("workdays", "WeatherLimit")
    model.objects.filter(cemetery=None, key__in=keys).delete()


class Migration(migrations.Migration):
    dependencies = [("workdays", "0002_kinds_of_work")]

    operations = [migrations.RunPython(seed, unseed)]
