"""Fields that clean what a public form lets in: one line, one paragraph, telephone, mailbox."""

import re
import unicodedata
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")  # they let a name disguise itself
TELEPHONE = re.compile(r"[0-9+()./ \-]*(?:(?:x|ext\.?) ?[0-9]{1,6})?", re.IGNORECASE)
FEWEST_DIGITS = 6  # 555-0100 has seven; some lands have six
PLAIN_MAILBOX = re.compile(r"[!-?A-~]+@[^\s@]+")


def printable(text: str) -> str:
    """Return text without what cannot be printed; line ends become one kind, tabs blanks."""
    joined = re.sub("\r\n|[\r\u000b\u000c\u0085\u2028\u2029]", "\n", text).replace("\t", " ")
    kept = (c for c in joined if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))
    return unicodedata.normalize("NFC", TURNS.sub("", "".join(kept)))


class LineField(forms.CharField):
    """One line of words, as people write names and places."""

    def __init__(self, *, max_length: int, **kwargs: Any) -> None:
        super().__init__(max_length=max_length, **kwargs)
        # A NUL is taken out like any other control character instead of refused.
        self.validators = [v for v in self.validators if not _refuses_nul(v)]

    def to_python(self, value: Any) -> str:
        """Return the line with single blanks."""
        return " ".join(printable(str(super().to_python(value) or "")).split())


class ParagraphField(LineField):
    """Several lines of words."""

    widget = forms.Textarea

    def to_python(self, value: Any) -> str:
        """Return the text with its line ends."""
        return printable(str(forms.CharField.to_python(self, value) or "")).strip()


class TelephoneField(LineField):
    """A telephone number as people write it; kept as written."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.TextInput(attrs={"type": "tel", "inputmode": "tel", "autocomplete": "tel"})
        super().__init__(max_length=40, **({"widget": widget} | kwargs))

    def validate(self, value: str) -> None:
        """Refuse what nobody could dial."""
        super().validate(value)
        if not value:
            return
        digits = sum(c.isdigit() for c in value)
        if not TELEPHONE.fullmatch(value) or digits < FEWEST_DIGITS:
            raise ValidationError(
                _("Write the number with digits, for example 555-0100."), code="telephone"
            )


class MailboxField(forms.EmailField):
    """An e-mail address in small letters, the domain in the form that mail servers know."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"type": "email", "inputmode": "email", "autocomplete": "email"}
        super().__init__(max_length=254, **({"widget": forms.EmailInput(attrs=attrs)} | kwargs))

    def clean(self, value: Any) -> str:
        """Return the address; refuse forms that calendars and mail programs trip over."""
        address = str(super().clean(value)).lower()
        if address and not PLAIN_MAILBOX.fullmatch(address):
            raise ValidationError(_("Write a plain address, for example ana@hollin.example."))
        return _with_ascii_domain(address)


def _refuses_nul(validator: object) -> bool:
    return type(validator).__name__ == "ProhibitNullCharactersValidator"


def _with_ascii_domain(address: str) -> str:
    local, at, domain = address.rpartition("@")
    try:
        return f"{local}{at}{domain.encode('idna').decode('ascii')}"
    except UnicodeError:
        raise ValidationError(
            _("No mail server has such a name. Look at the part after @.")
        ) from None


def is_number(name: object) -> bool:
    """Return whether this can be the number of a row: digits that a database takes."""
    text = str(name)
    return text.isascii() and text.isdigit() and len(text) < 19


class RowsField(forms.ModelMultipleChoiceField[Any]):
    """Several rows; a number too large for the database is refused like any other."""

    def clean(self, value: Any) -> Any:
        """Return the rows."""
        for name in value if isinstance(value, list | tuple) else ():
            if not isinstance(name, models.Model) and not is_number(name):
                message = self.error_messages["invalid_pk_value"]
                raise ValidationError(message, code="invalid_pk_value", params={"pk": name})
        return super().clean(value)
