"""Shows a text that people sign."""

from django import template
from django.utils.safestring import SafeString

from workdays.marked import marked as as_markup

register = template.Library()


@register.filter
def marked(text: str) -> SafeString:
    """Return a text in Markdown as safe markup."""
    return as_markup(text)
