"""Roots of all addresses; no logic."""

from allauth.account import views as account
from django.urls import include, path

from coordinator.health import health
from coordinator.log_in_link import log_in_link

# Of the log-in package only what a mailed code needs: no passwords, no sign-up.
LOG_IN = [
    path("log-in/", account.request_login_code, name="account_request_login_code"),
    path("log-in/", account.request_login_code, name="account_login"),
    path("log-in/code/", account.confirm_login_code, name="account_confirm_login_code"),
    path("log-in/closed/", account.account_inactive, name="account_inactive"),
    path("log-in/link/<str:token>/", log_in_link, name="log_in_link"),
    path("log-out/", account.logout, name="account_logout"),
]

urlpatterns = [
    path("health/", health, name="health"),
    *LOG_IN,
    path("", include("workdays.urls")),
]
