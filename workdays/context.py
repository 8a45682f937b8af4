"""What the foot of each page knows: the pages of organisers that are opened less often."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from workdays import access


def organiser_places(request: HttpRequest) -> dict[str, list[tuple[str, str]]]:
    """Return ``foot_places``, addresses and words that an organiser may open; else none.

    Asks the database only where the view has not asked who is there.
    """
    user = getattr(request, "user", None)  # an error page can come before the log-in was read
    if user is None or not user.is_authenticated:
        return {}
    try:
        who = access.viewer(request)
    except PermissionDenied:
        return {}
    places = [(reverse("log_ins"), _("How you sign in"))]
    if who.is_organiser:
        places.append((reverse("bookings"), _("Requests for clinics")))
        places.append((reverse("waivers"), _("What people sign")))
    if who.everywhere:
        places.append((reverse("mail"), _("Mail")))
        places.append((reverse("staff"), _("Organisers and supervisors")))
    return {"foot_places": places}
