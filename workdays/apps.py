"""The workdays package as an installed app."""

from django.apps import AppConfig


class WorkdaysConfig(AppConfig):
    """Workdays."""

    name = "workdays"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Have the sweep look after days too; models may be imported from here on only."""
        from coordinator import sweeping as kernel
        from workdays import blanking, claims, stale_files, sweeping, tasks
        from workdays.queries.plan_runs import due_runs

        kernel.add(sweeping.lapse_due)
        kernel.add(blanking.blank_due)
        kernel.add(claims.blank_over)
        kernel.add(sweeping.warn_due)
        kernel.add_errand(kernel.Errand(tasks.run_plan, due_runs))
        stale_files.watch()
