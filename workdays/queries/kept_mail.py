"""Mail that was queued, as organisers may see it: without what opens doors."""

from dataclasses import dataclass, replace

from django.conf import settings
from django.core.paginator import Page, Paginator
from django.shortcuts import get_object_or_404

from coordinator import masking
from coordinator.adapter import REASON as LOG_IN
from coordinator.models import SentMessage

PAGE_LENGTH = 50


@dataclass(frozen=True)
class Shown:
    """The words of one message, secret links and codes hidden outside the demo."""

    text: str
    html: str


def page_of_mail(number: str, *, mailbox: str = "") -> Page[SentMessage]:
    """Return one page of messages, newest first, to one mailbox or to all."""
    rows = SentMessage.objects.order_by("-pk").defer("text", "html", "calendar", "references")
    if mailbox:
        rows = rows.filter(to_address__icontains=mailbox)
    return Paginator(rows, PAGE_LENGTH).get_page(number)


def message(pk: int) -> SentMessage:
    """Return one message, or 404."""
    return get_object_or_404(SentMessage, pk=pk)


def words_of(row: SentMessage) -> Shown:
    """Return what a page may show of a message."""
    shown = Shown(row.text, row.html)
    if settings.DEMO:
        return shown
    if row.reason == LOG_IN:
        return replace(shown, text=masking.without_codes(row.text), html="")
    return Shown(masking.without_links(row.text), masking.without_links(row.html))
