"""The workdays package as an installed app."""

from django.apps import AppConfig


class WorkdaysConfig(AppConfig):
    """Workdays."""

    name = "workdays"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Have the sweep look after days too; models may be imported from here on only."""
        from coordinator import sweeping as kernel
        from workdays import sweeping

        kernel.add(sweeping.lapse_due)
