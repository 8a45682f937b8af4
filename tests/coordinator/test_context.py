"""What every page knows."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory
from django.urls import path

from coordinator import context
from coordinator.models import User


def page(request: HttpRequest) -> HttpResponse:
    """Answer, so that there is an address."""
    return HttpResponse()


urlpatterns = [path("", page, name="week"), path("days/", page, name="days")]


@pytest.mark.urls("tests.coordinator.test_context")
def test_staff_see_the_places_that_exist_and_where_they_are() -> None:
    request = RequestFactory().get("/days/7/")
    request.user = User(email="ruth@hollin.example")
    nav = context.navigation(request.path)
    assert context.programme(request)["nav"] == nav
    assert [(place.key, place.is_here) for place in nav] == [("week", False), ("days", True)]


@pytest.mark.urls("tests.coordinator.test_context")
def test_strangers_see_the_name_and_no_places() -> None:
    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    known = context.programme(request)
    assert known["programme_name"] == "Hollin County stone days"
    assert known["nav"] == []
    assert known["staff_is_here"] is False
