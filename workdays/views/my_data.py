"""Everything that is stored of one, behind the own link: a page to read, a file to take along."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from workdays import access
from workdays.queries.my_data import as_json, data_of
from workdays.views.private import behind_a_link


@behind_a_link
@require_safe
def own_data(request: HttpRequest, secret: str) -> HttpResponse:
    """Show a person everything that is stored of them."""
    person = access.person_by_link(secret)
    context = {"person": person, "parts": data_of(person)}
    return render(request, "workdays/own/data.html", context)


@behind_a_link
@require_safe
def own_data_file(request: HttpRequest, secret: str) -> HttpResponse:
    """Give a person everything that is stored of them as a file that machines read."""
    person = access.person_by_link(secret)
    options = {"ensure_ascii": False, "indent": 2}
    answer = JsonResponse(as_json(data_of(person)), json_dumps_params=options)
    answer["Content-Disposition"] = 'attachment; filename="my-data.json"'
    return answer
