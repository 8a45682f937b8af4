"""The training package as an installed app."""

from django.apps import AppConfig


class TrainingConfig(AppConfig):
    """Training."""

    name = "training"
    default_auto_field = "django.db.models.BigAutoField"
