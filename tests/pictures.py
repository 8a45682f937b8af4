"""Take the pictures of the papers from the running demo: python -m tests.pictures.

Each page on a phone and at a desk, cut below what a reader needs, in few colours.
"""

import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from tests.browser.chromium import FLAGS, program
from tests.service.stack import Stack

FOLDER = Path(__file__).resolve().parents[1] / "pictures"
DOORS = Path(__file__).parent / "browser" / "scripts" / "demo_doors.py"
SIZES = {"phone": (360, 1100), "desk": (1280, 1000)}
COLOURS = 48
MOST_BYTES = 150_000


@dataclass(frozen=True)
class Picture:
    """One page: the name of its files, where it is ({day}: the next day), on which screens.

    ``staff``: as the organiser sees it; else as anybody does.
    """

    name: str
    path: str
    sizes: tuple[str, ...]
    staff: bool = True


PICTURES = (
    Picture("week", "/week/", ("desk", "phone")),
    Picture("plan", "/days/{day}/plan/", ("desk",)),
    Picture("day", "/days/{day}/", ("phone",), staff=False),
    Picture("ground", "/ground/alder-hill/", ("desk",)),
    Picture("own", "{own}", ("phone",), staff=False),
    Picture("weather", "/days/{day}/weather/", ("desk", "phone")),
)


def take(browser: Browser, site: Stack, doors: Mapping[str, str], day: int) -> None:
    """Take every picture."""
    organiser, anybody = browser.new_page(), browser.new_page()
    organiser.goto(doors["organiser"])
    organiser.locator("main").get_by_role("button", name="Sign in").click()
    organiser.wait_for_url("**/week/")
    own = doors["volunteer"].removeprefix(site.url)
    for picture in PICTURES:
        page = organiser if picture.staff else anybody
        path = picture.path.format(day=day, own=own)
        for size in picture.sizes:
            width, height = SIZES[size]
            page.set_viewport_size({"width": width, "height": height})
            answer = page.goto(f"{site.url}{path}")
            if not answer or not answer.ok:
                raise RuntimeError(f"{path} answers {answer and answer.status}")
            keep(page.screenshot(), FOLDER / f"{picture.name}-{size}.png")


def keep(octets: bytes, path: Path) -> None:
    """Write a picture with few colours."""
    with Image.open(BytesIO(octets)) as taken:
        few = taken.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(path, optimize=True)
    if path.stat().st_size > MOST_BYTES:
        raise RuntimeError(f"{path.name} is larger than {MOST_BYTES} bytes")
    sys.stdout.write(f"{path.name} {path.stat().st_size}\n")


def main() -> None:
    """Load the demo into a folder of its own, serve it, take the pictures."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Stack(Path(folder), {"DEMO": "true"})
        try:
            site.manage("demo", "--load-only")
            told = site.python(DOORS)
            site.start_worker()
            site.start_web()
            browser = playwright.chromium.launch(executable_path=program(), args=FLAGS)
            take(browser, site, told["doors"], told["day"])
            browser.close()
        finally:
            site.stop()


if __name__ == "__main__":
    main()
