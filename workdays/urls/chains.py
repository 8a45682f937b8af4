"""Addresses of chains of jobs; before those of the ground."""

from django.urls import path

from workdays.views import chains

urlpatterns = [
    path("ground/stones/<int:pk>/chain/", chains.stone_chain, name="stone_chain"),
    path("ground/stones/<int:pk>/chain/add/", chains.stone_chain_add, name="stone_chain_add"),
]
