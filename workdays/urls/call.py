"""Addresses of the weather call."""

from django.urls import path

from workdays.views import call, forecasts

urlpatterns = [
    path("days/<int:pk>/weather/", call.call, name="call"),
    path("days/<int:pk>/weather/by-hand/", forecasts.forecast_new, name="forecast_new"),
    path("days/<int:pk>/weather/file/", forecasts.forecast_file, name="forecast_file"),
    path("days/<int:pk>/weather/decide/", call.call_decide, name="call_decide"),
    path("days/<int:pk>/notices/", call.notices, name="notices"),
    path("days/<int:pk>/notices/again/", call.notices_again, name="notices_again"),
]
