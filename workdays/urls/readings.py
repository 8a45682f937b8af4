"""Addresses of readings, of the history of a stone, and of pictures before and after."""

from django.urls import path

from workdays.views import gallery, history, readings

urlpatterns = [
    path("gallery/", gallery.gallery, name="gallery"),
    path("gallery/<int:pk>/<slug:part>/", gallery.gallery_picture, name="gallery_picture"),
    path("ground/photographs/<int:pk>/public/show/", gallery.gallery_show, name="gallery_show"),
    path("ground/<slug:slug>/gallery/", gallery.gallery_choose, name="gallery_choose"),
    path("ground/stones/<int:pk>/reading/", readings.reading_new, name="reading_new"),
    path("ground/stones/<int:pk>/history/", history.stone_history_page, name="stone_history"),
    path("ground/stones/<int:pk>/history.pdf", history.stone_history_pdf, name="stone_history_pdf"),
    path("ground/<slug:slug>/readings/", readings.readings, name="readings"),
]
