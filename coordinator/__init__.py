"""Project package and shared kernel: people, permission, audit, mail, what happens later."""

from coordinator.celery import app as celery_app

__all__ = ["celery_app"]
