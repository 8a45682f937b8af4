"""The address that a rule names by page and arguments."""

from django import template
from django.urls import reverse

from workdays.rules.week import Line

register = template.Library()


@register.filter
def href(line: Line) -> str:
    """Return the path of the page on which a line is done."""
    return reverse(line.page, args=line.args)
