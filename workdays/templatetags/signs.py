"""Template tags that draw a stone or a kind of work, everywhere the same."""

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from workdays.drawing import signs

register = template.Library()
BRUSH = mark_safe(signs.BRUSH)  # noqa: S308
HIDDEN = mark_safe('aria-hidden="true"')


@register.simple_tag
def sign(stone_type: str, state: str, size: int = 40, label: str = "") -> SafeString:
    """Draw a stone of a type in a state, ``size`` pixels high.

    With a label it is a picture with that name; ``label="auto"`` says type and state; without,
    it is decoration beside words that say the same and is hidden from readers.
    """
    return picture(signs.stone(str(stone_type), str(state)), size=size, label=label)


@register.simple_tag
def work_sign(name: str, size: int = 40, label: str = "") -> SafeString:
    """Draw the sign of a kind of work, ``size`` pixels high; ``label`` as in ``sign``."""
    return picture(signs.work(str(name)), size=size, label=label)


@register.filter
def strokes(drawn: signs.Sign) -> SafeString:
    """Write the paths of a sign, for use inside a larger picture."""
    return format_html_join(
        "",
        '<path d="{}"{}/>',
        ((s.d, mark_safe(signs.PAINT[s.kind])) for s in drawn.strokes),  # noqa: S308
    )


@register.filter
def brush(drawn: signs.Sign) -> SafeString:
    """Write the attributes that the parent of a sign's paths carries."""
    return BRUSH


@register.simple_tag
def legend_sign(drawn: signs.Sign, size: int = 40) -> SafeString:
    """Draw a sign that a picture brought along, beside its words."""
    return picture(drawn, size=size, label="")


@register.simple_tag
def badge_sign(drawn: signs.Badge, size: int = 26) -> SafeString:
    """Draw the badge of a crew beside its name."""
    return format_html(
        '<svg class="sign {}" viewBox="-11 -12 22 22" width="{}" height="{}" {}>'
        '<path fill="currentColor" d="{}"/>'
        '<text class="badge-word" fill="#fff" y="{}" font-size="11" font-weight="700" '
        'text-anchor="middle">'
        "{}</text></svg>",
        drawn.tone,
        size,
        size,
        HIDDEN,
        drawn.d,
        drawn.word_y,
        drawn.word,
    )


def picture(drawn: signs.Sign, *, size: int, label: str) -> SafeString:
    """Return one sign as inline SVG."""
    width, height = signs.BOX[2:]
    words = drawn.words if label == "auto" else label
    spoken = format_html('role="img" aria-label="{}"', words) if words else HIDDEN
    return format_html(
        '<svg class="sign {}" viewBox="{}" width="{}" height="{}" {} {}>{}</svg>',
        f"tone-{drawn.tone}",
        " ".join(f"{side:g}" for side in signs.BOX),
        round(size * width / height),
        size,
        BRUSH,
        spoken,
        strokes(drawn),
    )
