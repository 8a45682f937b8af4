"""The Celery application; its timetable stands in the settings, in one dict."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coordinator.settings")

app = Celery("coordinator")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
