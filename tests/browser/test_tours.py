"""Ways that people go, on a phone of 360 px, each with JavaScript and without.

Mail comes from the real mail server, and its links are followed. Each page on the way is judged.
"""

import re

from playwright.sync_api import Page, expect

from tests.browser.keyboard import Keyboard
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


def test_a_plan_is_changed_by_keyboard_refused_and_taken_back(phones: Phones) -> None:
    told = phones.town.begin("plan")
    ruth = Surveyor(phones.new_page(), phones.town.site.url)
    ruth.log_in(told["door"])
    ruth.open(f"/days/{told['day']}/plan/")
    crews, keys = ruth.page.locator("#hands"), Keyboard(ruth.page)
    crews.get_by_role("link", name="Nora Quist").first.press("Enter")
    ruth.says("You hold Nora Quist")
    phones.look(ruth.page)
    keys.enter(crews.get_by_role("button", name="Put into Crew 1"))
    expect(ruth.page.get_by_role("alert")).to_contain_text("Nora Quist has no valid waiver.")
    ruth.fits()
    keys.enter(crews.get_by_role("link", name="Put back"))
    expect(crews.get_by_role("button", name=re.compile("^Put into"))).to_have_count(0)
    crews.get_by_role("link", name="Theo Brandt").first.press("Enter")
    ruth.says("You hold Theo Brandt")
    keys.enter(crews.get_by_role("button", name=re.compile("^(Into no crew|Keep out)")))
    theo = crews.get_by_role("link", name="Theo Brandt pinned")
    expect(theo).to_be_visible()
    phones.look(ruth.page)
    crews.get_by_role("button", name=re.compile("^Take back: ")).press("Enter")
    ruth.says("Taken back: ")
    expect(theo).to_have_count(0)


def test_somebody_returns_by_mail_and_retypes_nothing(phones: Phones) -> None:
    town, told = phones.town, phones.town.begin("again")
    irene = phones.of("Irene Calloway", told["past"])
    known = ask_for_the_link(irene, told["day"], irene.mailbox)
    unknown = ask_for_the_link(irene, told["day"], f"nobody.{told['day']}@volunteers.example")
    assert known == unknown, "the answer tells nobody who is known"
    (mail,) = town.mail(irene.mailbox).next()
    irene.open(links_in(mail)[0])
    irene.heading("at Alder Hill")
    irene.says("What you signed before holds on this day")
    assert wanted(irene.page) == {"I am 18 or older"}
    assert irene.page.get_by_label("Gentle cleaning").input_value() == "lots"
    irene.page.get_by_label("I am 18 or older").check()
    irene.press("I want to come")
    irene.heading("You're coming")
    sign_the_new_text(irene, told["other"])
    one = town.stored(told["day"])["people"]["Irene Calloway"]
    assert (one["state"], one["noted"]) == ("coming", ["signed up"])
    assert one["experience"]["cleaning"] == "lots"
    assert len(one["signed"]) == 3, "the old text of each place, and the new one of the other"
    assert town.stored(told["other"])["people"]["Irene Calloway"]["state"] == "coming"
    assert town.mail(f"nobody.{told['day']}@volunteers.example").subjects() == []


def ask_for_the_link(who: Volunteer, day: int, mailbox: str) -> str:
    """Type a mailbox on the page for those who were here before; return what it answers."""
    who.open(f"{who.site}/days/{day}/")
    who.follow("I have been here before")
    who.heading("You have been here before")
    who.page.get_by_label("The e-mail address you gave us").fill(mailbox)
    who.page.locator("main").get_by_role("button").click()
    who.heading("Look into your mailbox")
    return who.page.locator("main").inner_text()


def sign_the_new_text(irene: Volunteer, day: int) -> None:
    """Go on to a day at a place that has a new text: that one is signed."""
    irene.page.get_by_role("link", name="Your page").click()
    irene.page.locator(f"main a[href$='/join/{day}/']").click()
    irene.heading("at Alder Hill")
    assert wanted(irene.page) == {
        "I am 18 or older",
        "I have read this and I agree to it.",
        "Your full name, typed, is your signature",
    }
    irene.page.get_by_label("I am 18 or older").check()
    irene.sign()
    irene.press("I want to come")
    irene.heading("You're coming")


def test_a_family_of_two_adults_and_two_children(phones: Phones) -> None:
    town, told = phones.town, phones.town.begin("open day")
    day = told["day"]
    anna, jon = phones.of("Anna Vale", day), phones.of("Jon Vale", day)
    sign_up_the_family(anna, jon, day)
    assert town.mail(jon.mailbox).subjects() == [], "nobody is asked before the first yes"
    (mail,) = town.mail(anna.mailbox).next()
    anna.open(links_in(mail)[0])
    anna.heading("Are you coming")
    anna.says("Anna Vale, Jon Vale, Kit Vale (a minor, with you), Lou Vale (a minor, with you)")
    anna.press(YES)
    anna.heading("You're coming")
    answer_for_oneself(jon, phones)
    people = town.stored(day)["people"]
    assert {one["state"] for one in people.values()} == {"coming"}
    assert {one["party"] for one in people.values()} == {"with Anna Vale"}
    assert {name: one["signed"] for name, one in people.items()} == {
        "Anna Vale": ["self: Anna Vale"],
        "Jon Vale": ["self: Jon Vale"],
        "Kit Vale": ["guardian: Anna Vale", "minor: Kit Vale"],
        "Lou Vale": ["guardian: Anna Vale", "minor: Lou Vale"],
    }
    see_one_party(phones, told["door"], day)


def sign_up_the_family(anna: Volunteer, jon: Volunteer, day: int) -> None:
    anna.open(f"{anna.site}/days/{day}/sign-up/")
    anna.fill_in()
    anna.bring(1, jon.name, email=jon.mailbox)
    anna.bring(2, "Kit Vale", born_on="2016-03-14")
    anna.bring(3, "Lou Vale", born_on="2019-11-02")
    anna.look(anna.page)
    anna.sign()
    anna.press("I want to come")
    anna.heading("Now look in your mailbox")


def answer_for_oneself(jon: Volunteer, phones: Phones) -> None:
    """Read and sign behind a link of one's own, in a mail that names nobody."""
    mailbox = phones.town.mail(jon.mailbox)
    (asked,) = mailbox.next()
    assert "Vale" not in asked.as_string()
    jon.open(links_in(asked)[0])
    jon.heading("Do you come along on")
    jon.fill_in_contact()
    jon.page.get_by_label("I cannot kneel").check()
    jon.sign()
    jon.press("Sign, and come")
    jon.heading("You're coming")


def see_one_party(phones: Phones, door: str, day: int) -> None:
    """Read on the desk of the day that the four come together and all is signed."""
    ruth = Surveyor(phones.new_page(), phones.town.site.url)
    ruth.log_in(door)
    ruth.open(f"/days/{day}/desk/")
    ruth.heading("4")
    phones.look(ruth.page)
    words = ruth.page.locator("main").inner_text()
    assert re.search(r"Anna Vale\s+brings three others", words)
    assert words.count("with Anna Vale") == 3
    assert "not signed" not in words


def test_the_whole_sign_up_by_keyboard_alone(phones: Phones) -> None:
    """What is wrong is announced and has the focus; each stop of the keyboard is seen."""
    day = phones.town.begin("open day")["day"]
    ewa = phones.of("Ewa Lind", day)
    page, keys = ewa.page, Keyboard(ewa.page)
    ewa.open(f"{ewa.site}/days/{day}/")
    keys.enter(page.get_by_role("link", name="I want to come"))
    ewa.heading("at Alder Hill")
    keys.enter(page.locator("main").get_by_role("button", name="I want to come"))
    hear_what_is_wrong(ewa, keys)
    fill_in_by_keyboard(ewa, keys)
    keys.enter(page.locator("main").get_by_role("button", name="I want to come"))
    ewa.heading("Now look in your mailbox")
    (mail,) = phones.town.mail(ewa.mailbox).next()
    ewa.open(links_in(mail)[0])
    keys.enter(page.get_by_role("button", name=YES))
    ewa.heading("You're coming")
    one = phones.town.stored(day)["people"]["Ewa Lind"]
    assert (one["state"], one["signed"]) == ("coming", ["self: Ewa Lind"])
    assert one["experience"]["raking"] == "some"


def hear_what_is_wrong(ewa: Volunteer, keys: Keyboard) -> None:
    """The list of errors is announced and has the focus; its links lead to the fields."""
    alert = ewa.page.get_by_role("alert")
    expect(alert).to_contain_text("Not yet: please look at this again")
    expect(alert).to_be_focused()
    ewa.look(ewa.page)
    keys.enter(alert.get_by_role("link").first)
    name = ewa.page.get_by_label("Your name")
    expect(name).to_be_focused()
    expect(name).to_have_attribute("aria-invalid", "true")
    expect(name).to_have_accessible_description(re.compile("required"))
    ewa.page.keyboard.type(ewa.name)


def fill_in_by_keyboard(ewa: Volunteer, keys: Keyboard) -> None:
    page = ewa.page
    keys.write(page.get_by_role("textbox", name=re.compile(r"^E-mail(?! of)")), ewa.mailbox)
    keys.write(page.get_by_role("textbox", name=re.compile("^Telephone")), "555-0142")
    keys.tick(page.get_by_label("I am 18 or older"))
    keys.write(page.get_by_label("Whom do we call if something happens?"), "Jan Lind")
    keys.write(page.get_by_label("Their telephone"), "555-0143")
    keys.choose_next(page.get_by_label("Raking and debris"), "some")
    keys.tick(page.get_by_label("I cannot kneel"))
    keys.tick(page.get_by_label("I have read this and I agree to it."))
    keys.write(page.get_by_label("Your full name, typed, is your signature"), ewa.name)


def wanted(page: Page) -> set[str]:
    """Return the labels of what must still be typed or ticked before a page can be sent."""
    found = page.locator("main form[method=post] :is(input, select, textarea)[required]")
    empty = found.evaluate_all(EMPTY)
    return {label.strip() for label in empty}
