"""Log-ins end: after so many hours without a page, and after so many days in any case."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.signals import user_logged_in
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

BEGAN, SEEN = "log_in_began", "log_in_seen"
# So often a session is written anew at most, however many pages are opened.
STEP = timedelta(minutes=10)
Answer = Callable[[HttpRequest], HttpResponse]


def sessions_end(answer: Answer) -> Answer:
    """Sign out whoever was away too long, before anything is shown."""

    def middleware(request: HttpRequest) -> HttpResponse:
        if request.session.get("_auth_user_id"):
            _look_at(request, timezone.now())
        return answer(request)

    return middleware


def note_beginning(request: HttpRequest, **_kwargs: Any) -> None:
    """Note when a log-in began, with the session that is written for it anyway."""
    _write(request, began=timezone.now(), seen=timezone.now())


user_logged_in.connect(note_beginning)


def _look_at(request: HttpRequest, now: datetime) -> None:
    began = _moment(request, BEGAN) or now
    seen = _moment(request, SEEN) or now
    longest = timedelta(days=settings.LOG_IN_DAYS)
    idle = timedelta(hours=settings.LOG_IN_IDLE_HOURS)
    if now - began > longest or now - seen > idle:
        logout(request)
        return
    if BEGAN not in request.session or now - seen > STEP:
        _write(request, began=began, seen=now)


def _write(request: HttpRequest, *, began: datetime, seen: datetime) -> None:
    request.session[BEGAN] = began.timestamp()
    request.session[SEEN] = seen.timestamp()


def _moment(request: HttpRequest, name: str) -> datetime | None:
    stored = request.session.get(name)
    return datetime.fromtimestamp(stored, tz=UTC) if stored else None
