"""Addresses of the ground and the backlog."""

from django.urls import path

from workdays.views import ahead, backlog, ground, leave, minutes, priorities, stones, surveys

urlpatterns = [
    path("ground/", ground.ground, name="ground"),
    path("ground/new/", ground.cemetery_new, name="cemetery_new"),
    path("ground/kinds/", ground.kinds_of_work, name="kinds_of_work"),
    path("ground/kinds/<slug:key>/", ground.kind_of_work_edit, name="kind_of_work_edit"),
    path("ground/stones/<int:pk>/", stones.stone, name="stone"),
    path("ground/stones/<int:pk>/edit/", stones.stone_edit, name="stone_edit"),
    path("ground/stones/<int:pk>/survey/", surveys.survey_new, name="survey_new"),
    path("ground/stones/<int:pk>/word/", stones.stone_override, name="stone_override"),
    path("ground/jobs/<int:pk>/", backlog.job, name="job"),
    path("ground/jobs/<int:pk>/edit/", backlog.job_edit, name="job_edit"),
    path("ground/jobs/<int:pk>/done/", backlog.job_done, name="job_done"),
    path("ground/permissions/<int:pk>/", leave.permission_edit, name="permission_edit"),
    path("ground/permissions/<int:pk>/paper/", leave.permission_paper, name="permission_paper"),
    path("ground/<slug:slug>/", ground.cemetery, name="cemetery"),
    path("ground/<slug:slug>/sheet/", ground.plan_sheet, name="plan_sheet"),
    path("ground/<slug:slug>/sheet.pdf", ground.plan_sheet_pdf, name="plan_sheet_pdf"),
    path("ground/<slug:slug>/edit/", ground.cemetery_edit, name="cemetery_edit"),
    path("ground/<slug:slug>/settings/", leave.cemetery_settings, name="cemetery_settings"),
    path("ground/<slug:slug>/settings/<slug:key>/", leave.setting_edit, name="setting_edit"),
    path("ground/<slug:slug>/permissions/", leave.permissions, name="permissions"),
    path("ground/<slug:slug>/permissions/new/", leave.permission_new, name="permission_new"),
    path("ground/<slug:slug>/sections/new/", ground.section_new, name="section_new"),
    path("ground/<slug:slug>/sections/<int:pk>/", ground.section_edit, name="section_edit"),
    path("ground/<slug:slug>/stones/", stones.stones, name="stones"),
    path("ground/<slug:slug>/stones/new/", stones.stone_new, name="stone_new"),
    path("ground/<slug:slug>/found/", surveys.stone_found, name="stone_found"),
    path("ground/<slug:slug>/backlog/", backlog.backlog, name="backlog"),
    path("ground/<slug:slug>/backlog/new/", backlog.job_new, name="job_new"),
    path("ground/<slug:slug>/look-ahead/", ahead.look_ahead, name="look_ahead"),
    path("ground/<slug:slug>/minutes/", minutes.minutes, name="minutes"),
    path("ground/<slug:slug>/priorities/", priorities.priorities, name="priorities"),
]
