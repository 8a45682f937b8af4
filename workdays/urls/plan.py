"""Addresses of the crew plan and its sheets."""

from django.urls import URLPattern, path

from workdays.views import hands, plan, plan_run, plan_weights, what_if

urlpatterns: list[URLPattern] = [
    path("days/<int:pk>/plan/", plan.plan, name="plan"),
    path("days/<int:pk>/plan/again/", plan_run.plan_run, name="plan_run"),
    path("days/<int:pk>/plan/live/", plan_run.plan_live, name="plan_live"),
    path("days/<int:pk>/plan/stop/", plan_run.plan_stop, name="plan_stop"),
    path("days/<int:pk>/plan/cancel/", plan_run.plan_cancel, name="plan_cancel"),
    path("days/<int:pk>/plan/hand/", hands.plan_hand, name="plan_hand"),
    path("days/<int:pk>/plan/undo/", hands.plan_undo, name="plan_undo"),
    path("days/<int:pk>/plan/points/", plan_weights.plan_weights, name="plan_weights"),
    path("days/<int:pk>/plan/publish/", plan.plan_publish, name="plan_publish"),
    path("days/<int:pk>/plan/what-if/", what_if.plan_what_if, name="plan_what_if"),
    path("days/<int:pk>/plan/let-go/", what_if.plan_let_go, name="plan_let_go"),
    path("days/<int:pk>/sheet/", plan.day_sheet, name="day_sheet"),
    path("days/<int:pk>/crews/<int:crew>/", plan.crew_sheet, name="crew_sheet"),
    path("days/<int:pk>/crews/<int:crew>/sheet.pdf", plan.crew_sheet_pdf, name="crew_sheet_pdf"),
]
