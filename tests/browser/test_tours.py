"""Ways that people go, on a phone of 360 px, each with JavaScript and without.

Mail comes from the real mail server, and its links are followed. Each page on the way is judged.
"""

from playwright.sync_api import Page

from tests.browser.mailbox import links_in
from tests.browser.surveyor import Surveyor
from tests.browser.touring import Phones
from tests.browser.volunteer import Volunteer

YES = "Yes, I am coming"
AGREED = "I have read this and I agree to it, for myself or for the child whose guardian I am."
EMPTY = """(all) => all
  .filter((one) => one.type === "checkbox" ? !one.checked : one.type !== "radio" && !one.value)
  .map((one) => one.labels[0].innerText.replace("*", ""))"""


def test_a_full_day_a_withdrawal_and_the_offer_taken(phones: Phones) -> None:
    town, told = phones.town, phones.town.begin("full day")
    day = told["day"]
    nora, theo, maya = (phones.of(n, day) for n in ("Nora Quist", "Theo Brandt", "Maya Thornton"))
    wait_in_line(nora, phones, day)
    withdraw(maya, told["own"])
    take_the_offer(theo, phones)
    people = town.stored(day)["people"]
    assert {name: one["state"] for name, one in people.items()} == {
        "Maya Thornton": "withdrawn",
        "Ben Lindqvist": "coming",
        "Theo Brandt": "coming",
        "Nora Quist": "waiting",
    }
    assert people["Theo Brandt"]["noted"] == ["offered", "took the offer"]
    assert town.mail(nora.mailbox).subjects()[2:] == [], "who still waits is told nothing"


def wait_in_line(nora: Volunteer, phones: Phones, day: int) -> None:
    """Sign up for a full day: the second of the waiting list."""
    nora.open(f"{nora.site}/days/{day}/")
    nora.heading("full, with a waiting list")
    nora.follow("Put me on the waiting list")
    nora.fill_in()
    nora.sign()
    nora.press("Put me on the waiting list")
    nora.heading("Now look in your mailbox")
    nora.says("there is a place for you on the waiting list")
    (mail,) = phones.town.mail(nora.mailbox).next()
    nora.open(links_in(mail)[0])
    nora.heading("Do you want a place if one is free")
    nora.press("Yes, keep me on the list")
    nora.heading("You are on the waiting list")


def withdraw(maya: Volunteer, own: str) -> None:
    """Say on the own page that one cannot come."""
    maya.open(own)
    maya.heading("you're coming to one day")
    maya.follow("Open: You're coming")
    maya.heading("You're coming")
    maya.follow("I cannot come")
    maya.heading("You cannot come")
    maya.press("Take me off this day")
    maya.heading("You have withdrawn")
    maya.says("You are off this day. Thank you for saying so.")


def take_the_offer(theo: Volunteer, phones: Phones) -> None:
    """Take what the first of the list is offered; the link does it once and says so after."""
    mailbox = phones.town.mail(theo.mailbox)
    (offer,) = mailbox.next()
    (link,) = links_in(offer)
    theo.open(link)
    theo.heading("A place is free for you")
    theo.press(YES)
    theo.heading("You're coming")
    assert mailbox.next(), "the entry for the calendar"
    theo.open(link)
    theo.heading("You have said yes already: you're coming")


def test_somebody_at_the_gate(phones: Phones) -> None:
    """Four lines to type and two taps; all else may stay as it is."""
    town, told = phones.town, phones.town.begin("gate")
    ida = Surveyor(phones.new_page(), town.site.url)
    ida.log_in(told["door"])
    ida.open(f"/days/{told['day']}/roll/")
    ida.follow("Add somebody at the gate")
    ida.heading("Who has come to Alder Hill")
    phones.look(ida.page)
    typed = {
        "Name": "Walter Pine",
        "Whom do we call if something happens?": "Rosa Pine",
        "Their telephone": "555-0188",
        "Full name of who signs, typed by themselves": "Walter Pine",
    }
    assert wanted(ida.page) == {*typed, AGREED}
    ida.press("They have come")
    ida.heading("Who has come")
    phones.look(ida.page)
    for label, words in typed.items():
        ida.page.get_by_role("textbox", name=label, exact=True).fill(words)
    ida.page.get_by_label(AGREED).check()
    ida.press("They have come")
    ida.says("Walter Pine is on the list.")
    ida.follow("To the roll")
    ida.says("Walter Pine")
    phones.look(ida.page)
    stored = town.stored(told["day"])["people"]["Walter Pine"]
    assert (stored["state"], stored["here"]) == ("coming", True)
    assert stored["signed"] == ["self: Walter Pine"]


def wanted(page: Page) -> set[str]:
    """Return the labels of what must still be typed or ticked before a page can be sent."""
    found = page.locator("main form[method=post] :is(input, select, textarea)[required]")
    empty = found.evaluate_all(EMPTY)
    return {label.strip() for label in empty}
