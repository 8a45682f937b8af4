"""Roots of all addresses; no logic."""

from allauth.account import views as account
from django.urls import include, path

from coordinator.health import health
from coordinator.log_in_link import log_in_link
from coordinator.log_ins import views as log_ins

# Of the log-in package only what a mailed code needs: no passwords, no sign-up; passkeys are ours.
LOG_IN = [
    path("log-in/", log_ins.mailed_code, name="account_request_login_code"),
    path("log-in/", log_ins.mailed_code, name="account_login"),
    path("log-in/code/", log_ins.typed_code, name="account_confirm_login_code"),
    path("log-in/closed/", account.account_inactive, name="account_inactive"),
    path("log-in/link/<str:token>/", log_in_link, name="log_in_link"),
    path("log-in/passkey/", log_ins.passkey_sign_in, name="passkey_sign_in"),
    path("log-ins/", log_ins.log_ins, name="log_ins"),
    path("log-ins/passkey/", log_ins.passkey_add, name="passkey_add"),
    path("log-ins/passkey/<int:pk>/", log_ins.passkey_name, name="passkey_name"),
    path("log-ins/passkey/<int:pk>/remove/", log_ins.passkey_remove, name="passkey_remove"),
    path("log-out/everywhere/", log_ins.log_out_everywhere, name="log_out_everywhere"),
    path("log-out/", account.logout, name="account_logout"),
]

urlpatterns = [
    path("health/", health, name="health"),
    *LOG_IN,
    path("", include("workdays.urls")),
]
