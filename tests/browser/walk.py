"""Walk a served site by its links, and keep one address for each page that a role reaches."""

from collections import deque
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

from django.urls import Resolver404, URLPattern, URLResolver, get_resolver, resolve
from playwright.sync_api import APIRequestContext

# So many addresses of one kind are read for their links: days, stones and people differ a little.
# Of files, which have no links and take long to make, one is.
EACH = 4
MOST = 600


class Links(HTMLParser):
    """Collects where the links of a page lead."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the target of a link."""
        href = dict(attrs).get("href")
        if tag == "a" and href:
            self.found.append(href)


def names(patterns: Iterable[URLPattern | URLResolver] | None = None) -> Iterator[str]:
    """Give the name of every address of the product."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLResolver):
            yield from names(pattern.url_patterns)
        elif pattern.name:
            yield pattern.name


def name_of(address: str) -> str | None:
    """Return the name under which the product knows an address; None for one it does not."""
    try:
        return resolve(urlsplit(address).path).url_name
    except Resolver404:
        return None


def walk(request: APIRequestContext, site: str, starts: Iterable[str]) -> dict[str, str]:
    """Return one address by name of page for all that links lead to; a dead link fails.

    Only pages count: an address that answers with a file, or sends elsewhere, is left out.
    """
    queue, read, found = deque(starts), {*starts}, dict[str, str]()
    counted: dict[tuple[str, bool], int] = {}
    files: set[str] = set()
    while queue:
        address = queue.popleft()
        name = name_of(address)
        assert name, f"a link leads nowhere: {address}"
        # What is asked of one page is no other page: it takes no place of another row's.
        asks = (name, bool(urlsplit(address).query))
        counted[asks] = counted.get(asks, 0) + 1
        if name in files or counted[asks] > EACH:
            continue
        answer = request.get(address, max_redirects=0)
        assert answer.status < 400, f"{answer.status}: {address}"
        if answer.status >= 300:
            continue
        if "text/html" not in answer.headers.get("content-type", ""):
            files.add(name)
            continue
        found.setdefault(name, address)
        new = [one for one in links_of(address, answer.text(), site) if one not in read]
        read.update(new)
        queue.extend(new)
        assert len(read) < MOST * 100, "the site has no end"
    return found


def links_of(address: str, page: str, site: str) -> list[str]:
    """Return the addresses on this site that a page links to, without their fragments."""
    parser = Links()
    parser.feed(page)
    targets = (urljoin(address, href).partition("#")[0] for href in parser.found)
    return [target for target in dict.fromkeys(targets) if target.startswith(f"{site}/")]
