"""A Django project with as little in it as one can have: what the product's pages are held against.

Settings, addresses and views of their own; the database and the middleware of a new project.
"""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.csrf import csrf_exempt

from coordinator.settings import *  # noqa: F403  # the database and the keys of the site
from coordinator.settings import TEMPLATES as SITE_TEMPLATES

ROOT_URLCONF = "bench.bare"
WSGI_APPLICATION = None
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "coordinator",
]
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
PAGE = "<html><body>{% for line in lines %}<p>{{ line }}</p>{% endfor %}</body></html>"
LINE = "x" * 60
TEMPLATES = [
    {
        "BACKEND": SITE_TEMPLATES[0]["BACKEND"],
        "OPTIONS": {
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    [("django.template.loaders.locmem.Loader", {"bare.html": PAGE})],
                )
            ]
        },
    }
]


@csrf_exempt
def write(request: HttpRequest) -> HttpResponse:
    """Write one row of what was sent."""
    from coordinator.models import AuditEntry

    AuditEntry.objects.create(
        actor_kind="link", verb="wrote", thing_type="bare", thing_id=request.POST["name"][:40]
    )
    return HttpResponse("written")


def page(request: HttpRequest, octets: int) -> HttpResponse:
    """Render a template of so many octets."""
    return render(request, "bare.html", {"lines": [LINE] * (octets // (len(LINE) + 7))})


urlpatterns = [path("write/", write), path("page/<int:octets>/", page)]
