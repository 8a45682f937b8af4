"""Addresses of the crew plan and its sheets."""

from django.urls import URLPattern, path

from workdays.views import day_sheets, hands, plan, plan_now, plan_run, plan_weights, what_if

urlpatterns: list[URLPattern] = [
    path("days/<int:pk>/plan/", plan.plan, name="plan"),
    path("days/<int:pk>/plan/again/", plan_run.plan_run, name="plan_run"),
    path("days/<int:pk>/plan/live/", plan_run.plan_live, name="plan_live"),
    path("days/<int:pk>/plan/stop/", plan_run.plan_stop, name="plan_stop"),
    path("days/<int:pk>/plan/cancel/", plan_run.plan_cancel, name="plan_cancel"),
    path("days/<int:pk>/plan/now/", plan_now.plan_now, name="plan_now"),
    path("days/<int:pk>/plan/hand/", hands.plan_hand, name="plan_hand"),
    path("days/<int:pk>/plan/undo/", hands.plan_undo, name="plan_undo"),
    path("days/<int:pk>/plan/points/", plan_weights.plan_weights, name="plan_weights"),
    path("days/<int:pk>/plan/publish/", plan.plan_publish, name="plan_publish"),
    path("days/<int:pk>/plan/what-if/", what_if.plan_what_if, name="plan_what_if"),
    path("days/<int:pk>/plan/let-go/", what_if.plan_let_go, name="plan_let_go"),
    path("days/<int:pk>/sheet/", day_sheets.day_sheet, name="day_sheet"),
    path("days/<int:pk>/sheets/", day_sheets.all_sheets, name="all_sheets"),
    path("days/<int:pk>/sheets.pdf", day_sheets.all_sheets_pdf, name="all_sheets_pdf"),
    path("days/<int:pk>/talk/", day_sheets.safety_talk, name="safety_talk"),
    path("days/<int:pk>/load/", day_sheets.load_list, name="load_list"),
    path("days/<int:pk>/crews/<int:crew>/", day_sheets.crew_sheet, name="crew_sheet"),
    path(
        "days/<int:pk>/crews/<int:crew>/sheet.pdf",
        day_sheets.crew_sheet_pdf,
        name="crew_sheet_pdf",
    ),
]
