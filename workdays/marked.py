"""A text to sign, written in Markdown, as markup that is safe to show.

The words are stored and signed as they were typed; this is only how they are shown. No markup of
their own, no pictures, no code; links go to the web or to a mailbox. A
line ends where it was ended.
"""

from collections.abc import Sequence
from functools import lru_cache
from urllib.parse import urlsplit

from django.utils.safestring import SafeString, mark_safe
from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

SCHEMES = {"http", "https", "mailto"}
LEFT_OUT = ["image", "code", "fence", "backticks", "html_block", "html_inline"]
DEEPEST = 6


class _Renderer(RendererHTML):
    """Headings two below those typed: a page has one, and the text stands under its title."""

    def heading_open(
        self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: EnvType
    ) -> str:
        return f"<{_lower(tokens[idx].tag)}>"

    def heading_close(
        self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: EnvType
    ) -> str:
        return f"</{_lower(tokens[idx].tag)}>\n"

    def link_open(
        self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: EnvType
    ) -> str:
        tokens[idx].attrSet("rel", "nofollow noopener noreferrer")
        return self.renderToken(tokens, idx, options, env)


def _lower(tag: str) -> str:
    return f"h{min(DEEPEST, int(tag[1:]) + 2)}"


def _leads_out(address: str) -> bool:
    try:
        return urlsplit(address.strip()).scheme.lower() in SCHEMES
    except ValueError:
        return False


def _reader() -> MarkdownIt:
    options = {"html": False, "breaks": True, "maxNesting": 20}
    reader = MarkdownIt("commonmark", options, renderer_cls=_Renderer).disable(LEFT_OUT)
    reader.validateLink = _leads_out  # type: ignore[assignment,method-assign]  # the library's own hook
    return reader


READER = _reader()


@lru_cache(maxsize=64)
def marked(text: str) -> SafeString:
    """Return a text in Markdown as safe markup."""
    shown = str(READER.render(text.replace("\x00", "")))
    return mark_safe(shown)  # noqa: S308  # made by the reader, which lets no markup through
