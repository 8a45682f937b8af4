"""Log-ins end: after so many hours without a page, and after so many days in any case."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from django.conf import settings
from django.contrib.auth import logout
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


def _look_at(request: HttpRequest, now: datetime) -> None:
    began = _moment(request, BEGAN) or now
    seen = _moment(request, SEEN) or now
    longest = timedelta(days=settings.LOG_IN_DAYS)
    idle = timedelta(hours=settings.LOG_IN_IDLE_HOURS)
    if now - began > longest or now - seen > idle:
        logout(request)
        return
    if BEGAN not in request.session or now - seen > STEP:
        request.session[BEGAN] = began.timestamp()
        request.session[SEEN] = now.timestamp()


def _moment(request: HttpRequest, name: str) -> datetime | None:
    stored = request.session.get(name)
    return datetime.fromtimestamp(stored, tz=UTC) if stored else None
