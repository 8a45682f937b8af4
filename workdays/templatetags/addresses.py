"""The address that a rule names by page and arguments."""

from django import template
from django.urls import NoReverseMatch, reverse

from workdays.rules.week import Line

register = template.Library()


@register.filter
def href(line: Line) -> str:
    """Return the path of the page on which a line is done."""
    try:
        return reverse(line.page, args=line.args)
    except NoReverseMatch:  # the page is still being built
        return reverse("day_desk", args=line.args) if line.day else reverse("week")
