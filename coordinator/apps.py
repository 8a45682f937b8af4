"""The coordinator package as an installed app."""

from django.apps import AppConfig


class CoordinatorConfig(AppConfig):
    """The kernel."""

    name = "coordinator"
    default_auto_field = "django.db.models.BigAutoField"
