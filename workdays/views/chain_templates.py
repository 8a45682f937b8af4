"""Pages of the chains as rows: the list, a chain, its steps, and the materials they use."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.refused import attempt, carried_out
from workdays import access
from workdays.actions import chains as actions
from workdays.forms.chains import ChainForm, MaterialForm, StepForm, step_initial
from workdays.forms.layout import initial_of
from workdays.queries.chain_templates import chain_templates as templates

READ_AND_SEND = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
def chain_templates(request: HttpRequest) -> HttpResponse:
    """List each chain with its steps, and the materials that they use."""
    context = {"page": templates(), "may_change": access.viewer(request).everywhere}
    return render(request, "workdays/chains/templates.html", context)


@READ_AND_SEND
def chain_template_edit(request: HttpRequest, key: str) -> HttpResponse:
    """Change what a chain is called, what it rests on, and whether it is in use."""
    chain = access.chain_for_organiser(request, key)
    form = ChainForm(request.POST or None, initial=initial_of(chain, ChainForm))
    if request.method == "POST" and form.is_valid():
        by = access.viewer(request).person
        actions.change_template(chain, form.cleaned_data, by=by)
        messages.success(request, _("The chain is kept. Jobs that are there stay as they are."))
        return redirect("chain_templates")
    return render(request, "workdays/chains/template.html", {"chain": chain, "form": form})


@READ_AND_SEND
def chain_step_new(request: HttpRequest, key: str) -> HttpResponse:
    """Add a step to a chain, as its last."""
    chain = access.chain_for_organiser(request, key)
    form = StepForm(request.POST or None, template=chain, submit=_("Add this step"))
    if request.method == "POST" and form.is_valid():
        by, before = access.viewer(request).person, form.steps_before()
        if attempt(form, lambda: actions.add_step(chain, form.values(), after=before, by=by)):
            messages.success(request, _("The step is added."))
            return redirect("chain_templates")
    return render(request, "workdays/chains/step.html", {"chain": chain, "form": form})


@READ_AND_SEND
def chain_step_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a step of a chain."""
    step = access.step_for_organiser(request, pk)
    chain = step.template
    form = StepForm(
        request.POST or None,
        initial=step_initial(step),
        template=chain,
        step=step,
        submit=_("Keep this step"),
    )
    if request.method == "POST" and form.is_valid():
        by, before = access.viewer(request).person, form.steps_before()
        values = form.values()
        if carried_out(form, lambda: actions.change_step(step, values, after=before, by=by)):
            messages.success(request, _("The step is kept. Jobs made from it stay as they are."))
            return redirect("chain_templates")
    context = {"chain": chain, "step": step, "form": form}
    return render(request, "workdays/chains/step.html", context)


@READ_AND_SEND
def chain_step_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask whether a step goes; take it out of its chain."""
    step = access.step_for_organiser(request, pk)
    if request.method == "POST":
        actions.remove_step(step, by=access.viewer(request).person)
        messages.success(request, _("The step is taken out. Jobs made from it stay."))
        return redirect("chain_templates")
    context = {"chain": step.template, "step": step}
    return render(request, "workdays/chains/step_remove.html", context)


@READ_AND_SEND
def material_edit(request: HttpRequest, key: str) -> HttpResponse:
    """Change how much of a material is mixed at once, and how long it can be worked."""
    material = access.material_for_organiser(request, key)
    form = MaterialForm(request.POST or None, initial=initial_of(material, MaterialForm))
    if request.method == "POST" and form.is_valid():
        actions.change_material(material, form.cleaned_data, by=access.viewer(request).person)
        messages.success(request, _("The material is kept."))
        return redirect("chain_templates")
    context = {"material": material, "form": form}
    return render(request, "workdays/chains/material.html", context)
