"""The Celery application; its timetable stands in the settings, in one dict."""

import os
from typing import Any

from celery import Celery
from celery.signals import worker_ready
from kombu.transport import TRANSPORT_ALIASES

from coordinator import folder_broker

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coordinator.settings")
TRANSPORT_ALIASES[folder_broker.SCHEME] = "coordinator.folder_broker:Transport"

app = Celery("coordinator")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@worker_ready.connect
def look_at_once(**_kwargs: Any) -> None:
    """Look for what a worker that died left behind, without waiting for the timetable."""
    for entry in app.conf.beat_schedule.values():
        app.send_task(entry["task"])
