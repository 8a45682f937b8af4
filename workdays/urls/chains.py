"""Addresses of chains of jobs; before those of the ground."""

from django.urls import path

from workdays.views import batches, chain_templates, chains

urlpatterns = [
    path("ground/chains/", chain_templates.chain_templates, name="chain_templates"),
    path("ground/chains/<slug:key>/", chain_templates.chain_template_edit, name="chain_edit"),
    path("ground/chains/<slug:key>/new/", chain_templates.chain_step_new, name="chain_step_new"),
    path("ground/steps/<int:pk>/", chain_templates.chain_step_edit, name="chain_step_edit"),
    path(
        "ground/steps/<int:pk>/remove/",
        chain_templates.chain_step_remove,
        name="chain_step_remove",
    ),
    path("ground/materials/<slug:key>/", chain_templates.material_edit, name="material_edit"),
    path("ground/stones/<int:pk>/chain/", chains.stone_chain, name="stone_chain"),
    path("ground/stones/<int:pk>/chain/add/", chains.stone_chain_add, name="stone_chain_add"),
    path("ground/<slug:slug>/chains/", chains.cemetery_chains, name="cemetery_chains"),
    path("ground/<slug:slug>/chains/add/", chains.cemetery_chains_add, name="cemetery_chains_add"),
    path("ground/<slug:slug>/batches/", batches.batches, name="batches"),
    path("ground/<slug:slug>/batches/put/", batches.batches_put, name="batches_put"),
]
