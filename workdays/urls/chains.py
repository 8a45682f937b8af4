"""Addresses of chains of jobs; before those of the ground."""

from django.urls import path

from workdays.views import batches, chains

urlpatterns = [
    path("ground/stones/<int:pk>/chain/", chains.stone_chain, name="stone_chain"),
    path("ground/stones/<int:pk>/chain/add/", chains.stone_chain_add, name="stone_chain_add"),
    path("ground/<slug:slug>/chains/", chains.cemetery_chains, name="cemetery_chains"),
    path("ground/<slug:slug>/chains/add/", chains.cemetery_chains_add, name="cemetery_chains_add"),
    path("ground/<slug:slug>/batches/", batches.batches, name="batches"),
    path("ground/<slug:slug>/batches/put/", batches.batches_put, name="batches_put"),
]
