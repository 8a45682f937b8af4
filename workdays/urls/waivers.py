"""Addresses of the texts that people sign, for organisers."""

from django.urls import path

from workdays.views import on_paper, signatures, waivers

urlpatterns = [
    path("waivers/", waivers.waivers, name="waivers"),
    path("waivers/new/", waivers.waiver_new, name="waiver_new"),
    path("waivers/<int:pk>/", waivers.waiver, name="waiver"),
    path("waivers/<int:pk>/language/", waivers.waiver_language_new, name="waiver_language_new"),
    path("ground/<slug:slug>/waiver/", waivers.waiver_of_place_new, name="waiver_of_place_new"),
    path("waivers/<int:pk>/print/", on_paper.waiver_print, name="waiver_print"),
    path("days/<int:pk>/paper/<int:row>/", on_paper.paper_note, name="paper_note"),
    path("signed/<int:pk>/paper.jpg", on_paper.paper_picture, name="paper_picture"),
    path("you/<str:secret>/waivers/<int:pk>.jpg", on_paper.own_paper, name="own_paper"),
    path("signed/<int:pk>/", signatures.person_signature, name="person_signature"),
    path("signed/<int:pk>.pdf", signatures.person_signature_pdf, name="person_signature_pdf"),
]
