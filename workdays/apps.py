"""The workdays package as an installed app."""

from django.apps import AppConfig


class WorkdaysConfig(AppConfig):
    """Workdays."""

    name = "workdays"
    default_auto_field = "django.db.models.BigAutoField"
