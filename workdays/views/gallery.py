"""Before and after: what the public sees, and what an organiser chooses for it."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from coordinator.refused import Refused, carried_out
from workdays import access
from workdays.actions import gallery as actions
from workdays.forms.gallery import GalleryLeaveForm
from workdays.forms.layout import initial_of
from workdays.queries import gallery as queries
from workdays.views.papers import public_picture


@login_not_required
@require_safe
def gallery(request: HttpRequest) -> HttpResponse:
    """Show stones before and after work, where their owners allow it; no names of anybody."""
    page = queries.gallery_page(page=request.GET.get("page", ""), now=timezone.now())
    return render(request, "workdays/gallery/gallery.html", {"gallery": page})


@login_not_required
@require_safe
def gallery_picture(_request: HttpRequest, pk: int, part: str) -> HttpResponseBase:
    """Give one picture of a pair that is shown to the public."""
    return public_picture(access.public_picture(pk, part, now=timezone.now()))


def gallery_choose(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the pairs that the public sees, and note the owner's leave."""
    place = access.cemetery_for_organiser(request, slug)
    now = timezone.now()
    form = GalleryLeaveForm(request.POST or None, initial=initial_of(place, GalleryLeaveForm))
    if request.method == "POST" and form.is_valid():
        on, words = form.cleaned_data["gallery_on"], form.cleaned_data["gallery_words"]
        by = access.viewer(request).person
        if carried_out(form, lambda: actions.allow_gallery(place, on, words, by=by, now=now)):
            return redirect("gallery_choose", slug)
    page = queries.choose_page(place, page=request.GET.get("page", ""), now=now)
    context = {"cemetery": place, "gallery": page, "form": form}
    return render(request, "workdays/gallery/choose.html", context)


@require_POST
def gallery_show(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a pair to the public, or no longer."""
    picture = access.photograph_for_organiser(request, pk)
    shown = request.POST.get("shown") == "yes"
    by = access.viewer(request).person
    try:
        actions.show_pair(picture, shown=shown, by=by, now=timezone.now())
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("gallery_choose", picture.cemetery.slug)
    messages.success(request, _("The public sees it now.") if shown else _("It is hidden again."))
    return redirect("gallery_choose", picture.cemetery.slug)
