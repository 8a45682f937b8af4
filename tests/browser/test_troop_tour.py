"""A troop of twelve by one shared link, on phones of 360 px, with JavaScript and without."""

import io
import re
from datetime import UTC, datetime

import qrcode
from PIL import Image
from playwright.sync_api import Locator, expect

from tests.browser.mailbox import links_in, text_of
from tests.browser.touring import Phones
from tests.browser.volunteer import TELEPHONE, Volunteer
from tests.waiting import eventually

# Who signs up by the link, each for themselves and for so many children.
ADULTS = {"Lena Storm": 3, "Omar Reed": 3, "Piet Vance": 2, "Una Frost": 0}
CHILDREN = ("Ada", "Bea", "Cyd")
BORN_ON = f"{datetime.now(UTC).year - 11}-03-14"


def test_a_troop_of_twelve_by_one_link(phones: Phones) -> None:
    day = phones.town.begin("open day")["day"]
    lena = phones.of("Lena Storm", day)
    own = hold_twelve(lena, phones, day)
    share = read_the_link(lena)
    for number, (name, children) in enumerate(ADULTS.items()):
        who = lena if name == lena.name else phones.of(name, day)
        take_places(who, share, children, is_first=number == 0)
        if name != "Una Frost":
            say_yes(phones, who)
    tell_the_thirteenth(phones.of("Vera Quist", day), share)
    see_who_has_signed(lena, own)
    let_the_cut_off_pass(lena, phones, day, own)


def hold_twelve(lena: Volunteer, phones: Phones, day: int) -> str:
    """Ask for the places and say yes by the mail; return the page of the group."""
    lena.open(f"{lena.site}/days/{day}/")
    lena.follow("Do you come with a school, troop or team?")
    lena.heading("How many places does your group need?")
    fields = {"Name of the group": "Troop 12", "How many places": "12", "Your name": lena.name}
    for label, words in {**fields, "E-mail": lena.mailbox, "Telephone": TELEPHONE}.items():
        lena.page.locator("form").get_by_label(re.compile(f"^{label}")).fill(words)
    lena.press("Hold these places")
    lena.heading("Now look in your mailbox")
    lena.says("The places for your group are held.")
    mailbox = phones.town.mail(lena.mailbox)
    (asked,) = mailbox.next()
    assert "Troop 12" not in text_of(asked), "no word of a stranger stands in a mail"
    lena.open(links_in(asked)[0])
    lena.heading("Shall we hold 12 places")
    lena.press("Yes, hold them")
    lena.heading("12 places are held for your group")
    (ready,) = mailbox.next()
    return links_in(ready)[0]


def read_the_link(lena: Volunteer) -> str:
    """Return the link to share; the code beside it is that of this very link."""
    share = lena.page.locator("main a", has_text="/party/").inner_text()
    code = code_of(share)
    assert dark_modules(lena.page.locator("main figure svg"), len(code)) == code
    return share


def code_of(address: str) -> list[list[bool]]:
    """Return the modules that an address has as a code."""
    code = qrcode.QRCode(border=3)
    code.add_data(address)
    modules: list[list[bool]] = code.get_matrix()
    return modules


def dark_modules(drawn: Locator, size: int) -> list[list[bool]]:
    """Return which of so many modules across are dark on the screen, as a camera sees them."""
    picture = Image.open(io.BytesIO(drawn.screenshot())).convert("L")
    step = picture.width / size
    centres = [int((n + 0.5) * step) for n in range(size)]
    return [[_level(picture, x, y) < 128 for x in centres] for y in centres]


def _level(picture: Image.Image, x: int, y: int) -> int:
    level = picture.getpixel((x, y))
    assert isinstance(level, int)
    return level


def take_places(who: Volunteer, share: str, children: int, *, is_first: bool) -> None:
    """Sign up by the shared link, for oneself and for children."""
    who.open(share)
    if is_first:
        who.heading("Come along with Troop 12")
    who.fill_in()
    for line, child in enumerate(CHILDREN[:children], start=1):
        who.bring(line, f"{child} {who.name.split()[1]}", born_on=BORN_ON)
    who.sign()
    who.press("I want to come")
    expect(who.page.get_by_role("heading", level=1)).to_have_text("Now look in your mailbox")


def say_yes(phones: Phones, who: Volunteer) -> None:
    """Press the mailed link, which makes what was signed valid."""
    mails = phones.town.mail(who.mailbox)
    mails.given = 2 if who.name == "Lena Storm" else 0
    (mail,) = mails.next()
    who.open(links_in(mail)[0])
    who.press("Yes, I am coming")
    expect(who.page.get_by_role("heading", level=1)).to_contain_text("You're coming")


def tell_the_thirteenth(vera: Volunteer, share: str) -> None:
    """See that the places are taken, and where there may be more."""
    vera.open(share)
    vera.heading("All places of this group are taken")
    vera.says("The day itself may have more")
    vera.follow("To the ordinary form")
    expect(vera.page.get_by_label("Your name")).to_be_visible()


def see_who_has_signed(lena: Volunteer, own: str) -> None:
    """Read yes or no for each, and nothing else about anybody."""
    lena.open(own)
    lena.heading("12 places taken, 0 left")
    lena.says("11 of 12 have signed")
    words = lena.page.locator("main").inner_text()
    assert words.count("signed: yes") == 11
    assert re.search(r"Una Frost\s+signed: no", words)
    for private in ("@", "555-0143", TELEPHONE, "Noor", BORN_ON, "mother"):
        assert private not in words


def let_the_cut_off_pass(lena: Volunteer, phones: Phones, day: int, own: str) -> None:
    """Who has not said yes by then has no place; the children came with who signed for them."""
    phones.town.let_pass(day)
    eventually(lambda: _has_lapsed(phones, day), timeout=60, what="a place lapses at the cut-off")
    stored = phones.town.stored(day)
    assert stored["held"] == [0]
    people = stored["people"]
    states = [one["state"] for one in people.values()]
    assert (states.count("coming"), len(states)) == (11, 12)
    assert {one["party"] for one in people.values()} == {"Troop 12"}
    assert people["Cyd Reed"]["guardian"] == "Omar Reed"
    assert people["Cyd Reed"]["signed"] == ["guardian: Omar Reed", "minor: Cyd Reed"]
    lena.open(own)
    lena.heading("11 places taken, 0 left")
    lena.says("No places are held any more.")


def _has_lapsed(phones: Phones, day: int) -> bool:
    return bool(phones.town.stored(day)["people"]["Una Frost"]["state"] == "lapsed")
