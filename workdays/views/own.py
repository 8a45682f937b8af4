"""Pages behind a standing link: days, what was signed, hours, notices; change and withdraw."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator import audit
from coordinator.humans import is_same
from coordinator.refused import attempt
from workdays import access, access_links
from workdays.actions import own as actions
from workdays.actions import places
from workdays.forms.sign_up import ChangeForm
from workdays.forms.wishes import said_before
from workdays.queries import own, public
from workdays.queries.call_words import call_words
from workdays.queries.crews import cautions, crews_with
from workdays.queries.families_of_days import with_you
from workdays.queries.naming import day_name
from workdays.queries.plans import published_plan
from workdays.queries.unsigned import may_be_signed_for, unsigned
from workdays.views.private import behind_a_link
from workdays.views.telling import done


@behind_a_link
@require_safe
def own_page(request: HttpRequest, secret: str) -> HttpResponse:
    """Show everything that is a person's own."""
    person = access.person_by_link(secret)
    page = own.own_page(person, now=timezone.now())
    context = {"person": person, "own": page, "groups": access_links.own_groups(person)}
    return render(request, "workdays/own/page.html", context)


@behind_a_link
@require_safe
def own_day(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show one's day, or a ward's: state, crew, stones, cautions; how to change and withdraw."""
    person = access.person_by_link(secret)
    row = access_links.own_or_wards_sign_up(person, pk)
    plan = published_plan(row.day)
    crews = crews_with(plan, row.person) if plan else []
    now = timezone.now()
    signs = may_be_signed_for(row, now=now) and is_same(row.person, person)
    context = {
        "person": person,
        "own_day": own.own_day(row, now=now),
        "unsigned": unsigned(row) if signs else [],
        "with_you": with_you(row),
        "crews": crews,
        "kinds": cautions(crews),
        "zone": row.day.cemetery.zone,
    }
    return render(request, "workdays/own/day.html", context)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_change(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Change what one said for a day."""
    person = access.person_by_link(secret)
    row = access_links.own_sign_up(person, pk)
    skills = public.skills()
    sent = request.POST if request.method == "POST" else None
    form = ChangeForm(sent, day=row.day, skills=skills, initial=said_before(row, skills))
    if form.is_valid():
        contact, wishes, now = form.contact(), form.said(), timezone.now()
        if attempt(form, lambda: actions.change(pk, contact, wishes, now=now)):
            messages.success(request, _("Kept."))
            return redirect("own_day", secret, pk)
    context = {"person": person, "form": form, **own.about(row)}
    return render(request, "workdays/own/change.html", context)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_withdraw(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Ask once more, then take the person off the day."""
    person = access.person_by_link(secret)
    row = access_links.own_or_wards_sign_up(person, pk)
    if request.method != "POST":
        context = {"person": person, "with_you": with_you(row), **own.about(row)}
        return render(request, "workdays/own/withdraw.html", context)
    actor, now = audit.by_link(person), timezone.now()
    if done(request, lambda: places.withdraw(pk, now=now, actor=actor)):
        mine = is_same(row.person, person)
        said = _("You are off this day.") if mine else _("The child is off this day.")
        messages.success(request, f"{said} {_('Thank you for saying so.')}")
    return redirect("own_day", secret, pk)


@behind_a_link
@require_POST
def own_come(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Take an offered place, or say that one still comes after the day moved."""
    person = access.person_by_link(secret)
    row = access_links.own_sign_up(person, pk)
    act = places.keep if row.question_open else places.take
    if done(request, lambda: act(pk, now=timezone.now())):
        messages.success(request, _("Good: you're coming."))
    return redirect("own_day", secret, pk)


@behind_a_link
@require_safe
def own_waiver(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show what one signed, word for word, to read or print."""
    person = access.person_by_link(secret)
    signature = access_links.own_signature(person, pk)
    return render(request, "workdays/own/waiver.html", {"person": person, "signature": signature})


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def own_renew(request: HttpRequest, secret: str) -> HttpResponse:
    """Make the link useless and mail a new one."""
    person = access.person_by_link(secret)
    if request.method != "POST":
        return render(request, "workdays/own/renew.html", {"person": person})
    if actions.renew_link(person):
        return render(request, "workdays/own/renewed.html")
    return redirect("own_page", person.secret)


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def notice_seen(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Show a notice; the button says that it was seen."""
    person = access.person_by_link(secret)
    notice = access_links.own_notice(person, pk)
    if request.method == "POST":
        actions.mark_seen(notice, now=timezone.now())
        return redirect("notice_seen", secret, pk)
    words = call_words(notice.call, notice.day) if notice.call else None
    heading = words.subject if words else day_name(notice.day)
    context = {"person": person, "notice": notice, "words": words, "heading": heading}
    return render(request, "workdays/own/notice.html", context)
