"""Fields that clean what a public form lets in."""

import pytest
from django.core.exceptions import ValidationError

from training.models import Skill
from workdays.forms.fields import (
    LineField,
    MailboxField,
    ParagraphField,
    RowsField,
    TelephoneField,
)


def test_a_line_keeps_letters_of_all_scripts_and_loses_what_cannot_be_printed() -> None:
    field = LineField(max_length=40)
    assert field.clean("  Ana\x00\x07 \t Çelik\r\nŁuk 🌿 ") == "Ana Çelik Łuk 🌿"
    assert field.clean("\u202eevil\u2066") == "evil"


def test_a_line_that_holds_only_unprintable_characters_is_empty() -> None:
    with pytest.raises(ValidationError, match="required"):
        LineField(max_length=40).clean("\x00\x1b")


def test_a_line_has_an_end() -> None:
    with pytest.raises(ValidationError, match="at most 40"):
        LineField(max_length=40).clean("a" * 10_000)


def test_a_paragraph_keeps_its_lines() -> None:
    assert ParagraphField(max_length=99).clean("one\r\ntwo\u2028three\x00") == "one\ntwo\nthree"


@pytest.mark.parametrize("number", ["555-0100", "(555) 555-0100", "+49 30 5550100", "555-0100 x12"])
def test_telephone_numbers_are_kept_as_written(number: str) -> None:
    assert TelephoneField().clean(number) == number


@pytest.mark.parametrize("number", ["ask my wife", "12", "<b>555-0100</b>", "555-0100; x", "+" * 9])
def test_what_nobody_could_dial_is_refused(number: str) -> None:
    with pytest.raises(ValidationError, match="with digits"):
        TelephoneField().clean(number)


def test_a_mailbox_is_written_in_one_way() -> None:
    assert MailboxField().clean(" Ana@Hollin.Example ") == "ana@hollin.example"
    assert MailboxField().clean("ana@bücher.example") == "ana@xn--bcher-kva.example"


@pytest.mark.parametrize(
    "address", ["", "ana", "a b@x.example", '"a b"@x.example', "ana@x.example\nBcc: b@x.example"]
)
def test_what_is_no_plain_mailbox_is_refused(address: str) -> None:
    with pytest.raises(ValidationError):
        MailboxField().clean(address)


@pytest.mark.django_db
@pytest.mark.parametrize("hostile", ["9" * 30, "-1", "x", "\x00", "²", "1e3"])
def test_a_number_that_no_row_can_have_is_refused(hostile: str) -> None:
    field = RowsField(Skill.objects.all())
    with pytest.raises(ValidationError):
        field.clean([hostile])


@pytest.mark.django_db
def test_rows_that_are_there_are_given() -> None:
    field = RowsField(Skill.objects.all(), required=False)
    one = Skill.objects.order_by("pk")[0]
    assert list(field.clean([str(one.pk)])) == [one]
    assert list(field.clean([])) == []
