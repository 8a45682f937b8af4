"""Pages of what a place allows: its settings with their sources, and the owner's permissions."""

from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from workdays import access
from workdays.actions import ground as actions
from workdays.actions import leave as leave_actions
from workdays.forms.layout import initial_of
from workdays.forms.leave import PermissionForm, SettingForm, setting_initial
from workdays.models import Permission
from workdays.queries import ground as queries
from workdays.queries.setting_history import labelled_history, setting_history
from workdays.queries.terms import terms_of
from workdays.rules.settings import BY_KEY
from workdays.views.papers import private_file
from workdays.views.telling import kept


def cemetery_settings(request: HttpRequest, slug: str) -> HttpResponse:
    """Show every setting of a cemetery: value, default, source, what else is published."""
    place = access.cemetery_for_staff(request, slug)
    today = queries.today_at(place, now=timezone.now())
    context = {
        "cemetery": place,
        "no_probing": terms_of(place, on=today).no_probing,
        "rows": queries.setting_rows(place),
        "history": labelled_history(place),
        "may_change": access.viewer(request).may_organise(place.pk),
    }
    return render(request, "workdays/ground/settings.html", context)


def setting_edit(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Decide one setting, with who says so."""
    place = access.cemetery_for_organiser(request, slug)
    if key not in BY_KEY:
        raise Http404
    row = next(row for row in queries.setting_rows(place) if row.setting.key == key)
    initial = setting_initial(row.value, row.own.source if row.own else "")
    form = SettingForm(request.POST or None, initial=initial, setting=row.setting)
    if request.method == "POST" and form.is_valid():
        value, source = form.cleaned_data["value"], form.cleaned_data["source"]
        by, now = access.viewer(request).person, timezone.now()
        change = partial(actions.change_setting, place, key, value, source=source, by=by, now=now)
        if kept(request, form, change):
            return redirect("cemetery_settings", slug)
    history = setting_history(place).get(key, [])
    context = {"cemetery": place, "row": row, "form": form, "history": history}
    return render(request, "workdays/ground/setting.html", context)


def permissions(request: HttpRequest, slug: str) -> HttpResponse:
    """List what the owner allowed, newest first."""
    place = access.cemetery_for_staff(request, slug)
    today = queries.today_at(place, now=timezone.now())
    found = list(queries.permissions_of(place))
    context = {
        "cemetery": place,
        "permissions": found,
        "leave": queries.leave_words(found, on=today),
        "today": today,
        "may_change": access.viewer(request).may_organise(place.pk),
    }
    return render(request, "workdays/ground/permissions.html", context)


def permission_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Note a permission of the owner."""
    place, now = access.cemetery_for_organiser(request, slug), timezone.now()
    form = PermissionForm(
        request.POST or None,
        request.FILES or None,
        today=queries.today_at(place, now=now),
        submit=_("Keep this permission"),
    )
    if request.method == "POST" and form.is_valid():
        values, kinds = form.values(), list(form.cleaned_data["kinds"])
        by = access.viewer(request).person
        add = partial(leave_actions.add_permission, place, values, kinds=kinds, by=by, now=now)
        if kept(request, form, lambda: add().taken_off):
            return redirect("permissions", slug)
    context = {"cemetery": place, "form": form}
    return render(request, "workdays/ground/permission.html", context)


def permission_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Mend or end a permission."""
    permission, now = access.permission_for_organiser(request, pk), timezone.now()
    form = PermissionForm(
        request.POST or None,
        request.FILES or None,
        today=queries.today_at(permission.cemetery, now=now),
        initial=_permission_initial(permission),
        submit=_("Keep this permission"),
    )
    if request.method == "POST" and form.is_valid():
        values, kinds = form.values(), list(form.cleaned_data["kinds"])
        by = access.viewer(request).person
        change = partial(leave_actions.change_permission, permission, values, kinds=kinds)
        if kept(request, form, lambda: change(by=by, now=now)):
            return redirect("permissions", permission.cemetery.slug)
    context = {"cemetery": permission.cemetery, "permission": permission, "form": form}
    return render(request, "workdays/ground/permission.html", context)


def _permission_initial(permission: Permission) -> dict[str, object]:
    return {
        **initial_of(permission, PermissionForm),
        "paper": None,
        "kinds": list(permission.kinds.all()),
    }


def permission_paper(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give the paper of a permission to the staff of its cemetery."""
    permission = access.permission_for_staff(request, pk)
    return private_file(permission.paper, name=f"permission-{permission.pk}")
