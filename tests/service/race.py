"""Many people who send the sign-up form of one day over HTTP at the same moment."""

import http.client
import re
import threading
import time
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from urllib.parse import urlencode, urlsplit

HIDDEN = re.compile(r'<input[^>]*type="hidden"[^>]*>')
NAME, VALUE = re.compile(r'name="([^"]*)"'), re.compile(r'value="([^"]*)"')
MOMENTS = re.compile(r'<select name="(comes_at|leaves_at)".*?</select>', re.DOTALL)
CHOSEN = re.compile(r'<option value="([^"]*)" selected')
TRIES_TO_REACH = 50


@dataclass(frozen=True)
class Answer:
    """What one sender heard: the status, where it was sent on to, seconds of waiting."""

    status: int
    location: str
    seconds: float


@dataclass(frozen=True)
class Page:
    """A sign-up page as one browser got it: what goes back with the form, and the cookie."""

    path: str
    cookie: str
    fields: dict[str, str]


def _connection(url: str) -> http.client.HTTPConnection:
    return http.client.HTTPConnection(urlsplit(url).netloc, timeout=120)


def open_page(url: str, path: str) -> Page:
    """Get a sign-up page; its hidden fields and the hours it proposes."""
    line = _connection(url)
    line.request("GET", path)
    answer = line.getresponse()
    html = answer.read().decode()
    assert answer.status == 200, answer.status
    cookie = (answer.getheader("Set-Cookie") or "").partition(";")[0]
    fields = {}
    for tag in HIDDEN.findall(html):
        name, value = NAME.search(tag), VALUE.search(tag)
        if name:
            fields[name[1]] = value[1] if value else ""
    for found in MOMENTS.finditer(html):
        chosen = CHOSEN.search(found[0])
        assert chosen, "the whole day is proposed"
        fields[found[1]] = chosen[1]
    line.close()
    return Page(path, cookie, fields)


def form(page: Page, number: int, series: str) -> str:
    """Return the form as one of many people fills it in."""
    name = f"Person {series} {number}"
    return urlencode(
        page.fields
        | {
            "name": name,
            "email": f"p{number}.{series}@volunteers.example",
            "telephone": "555-0142",
            "emergency_name": "Rui Costa",
            "emergency_telephone": "555-0143",
            "is_adult": "on",
            "affirm": "on",
            "typed_name": name,
        }
    )


def send(url: str, page: Page, body: str) -> Answer:
    """Send a form once; a full queue of the server's is tried again, as browsers do."""
    headers = {
        "Content-Type": "application/x-www-form-urlencoded",
        "Cookie": page.cookie,
        "Referer": url + page.path,
    }
    begun = time.perf_counter()
    for _ in range(TRIES_TO_REACH):
        line = _connection(url)
        try:
            line.connect()
            break
        except ConnectionError:
            line.close()
    line.request("POST", page.path, body=body, headers=headers)
    answer = line.getresponse()
    answer.read()
    line.close()
    return Answer(answer.status, answer.getheader("Location") or "", time.perf_counter() - begun)


def get(url: str, path: str) -> Answer:
    """Get a page once."""
    begun = time.perf_counter()
    line = _connection(url)
    line.request("GET", path)
    answer = line.getresponse()
    answer.read()
    line.close()
    return Answer(answer.status, "", time.perf_counter() - begun)


def look(url: str, path: str) -> int:
    """Return the octets of a page, as it comes uncompressed."""
    line = _connection(url)
    line.request("GET", path)
    octets = len(line.getresponse().read())
    line.close()
    return octets


def race(url: str, path: str, people: int, series: str) -> list[Answer]:
    """Let so many people, each with an own connection, send the form of a day at one moment."""
    page = open_page(url, path)
    gate = threading.Barrier(people)

    def come(number: int) -> Answer:
        body = form(page, number, series)
        gate.wait(60)
        return send(url, page, body)

    with ThreadPoolExecutor(people) as pool:
        return list(pool.map(come, range(people)))


def statuses(answers: Iterable[Answer]) -> set[int]:
    """Return the different statuses heard."""
    return {answer.status for answer in answers}
