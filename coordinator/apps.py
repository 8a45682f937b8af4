"""The coordinator package as an installed app."""

from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core.management import call_command
from django.db.models.signals import post_migrate

from coordinator import checks

__all__ = ["CoordinatorConfig", "checks"]  # importing the checks registers them


def make_cache_table(using: str, **_kwargs: Any) -> None:
    """Make the table of the database cache, where there is no Redis; again does no harm."""
    if not settings.REDIS_URL:
        call_command("createcachetable", database=using, verbosity=0)


class CoordinatorConfig(AppConfig):
    """The kernel."""

    name = "coordinator"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Have the cache table made with the other tables."""
        post_migrate.connect(make_cache_table, sender=self)
