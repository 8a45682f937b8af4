"""Words and addresses made fit for a calendar before they are escaped.

What a web form lets through (control characters, exotic line ends, half
characters) breaks readers, so it goes here, once, for every property.
"""

import re
import unicodedata
from urllib.parse import quote, unquote

# Line ends for some reader or other: VT, FF, the ASCII separators, NEL, LS, PS.
BREAKS = re.compile("\r\n|[\r\n\u000b\u000c\u001c-\u001e\u0085\u2028\u2029]")
# Marks that turn the reading direction: a name could disguise itself with them.
TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")
WEB_ADDRESS = re.compile(r"https?://[!-~]+")
MAILBOX = re.compile(r"[!-?A-~]+@[^\s@<>()\[\]\"',;:\\]+")
# RFC 6068 section 2: what may stand bare in the local part of a mailto: URI.
LOCAL_SAFE = "!$'*+-._~"


def clean(text: str) -> str:
    """Return text with one kind of line break and no control characters but tab.

    Half characters (lone surrogates), which UTF-8 cannot carry, go too, and white space
    at both ends, which readers cut.
    Source: RFC 5545 sections 3.1 and 3.3.11.
    """
    joined = BREAKS.sub("\n", text)
    kept = (c for c in joined if c in "\n\t" or unicodedata.category(c) not in ("Cc", "Cs"))
    return "".join(kept).strip()


def escaped(text: str) -> str:
    """Return clean text as the value of a TEXT property. Source: RFC 5545 section 3.3.11."""
    return re.sub(r"([\\;,])", r"\\\1", text).replace("\n", r"\n")


def clean_line(text: str) -> str:
    """Return text on one line: a title or a place has no paragraphs."""
    return re.sub(r"[ \t]*\n\s*", " ", clean(text))


def clean_name(text: str) -> str:
    """Return a person's name fit for the CN parameter of every known reader.

    A parameter value cannot hold a double quote (RFC 5545 section 3.1), and the
    caret escapes of RFC 6868 are not understood everywhere: an apostrophe and a
    slash stand in, carets go.
    """
    plain = TURNS.sub("", clean(text)).replace('"', "'").replace("\\", "/").replace("^", "")
    return re.sub(r"\s+", " ", plain).strip()


def clean_calendar_name(text: str) -> str:
    """Return a name for a whole calendar without the marks that need escaping.

    Some readers show NAME with its backslashes (seen in a widely used script library).
    """
    return re.sub(r"\s*[,;\\\n]+\s*", " - ", clean(text)).strip(" -\t")


def web_address(url: str) -> str:
    """Return the address unchanged; ValueError unless it is plain ASCII http or https."""
    if not WEB_ADDRESS.fullmatch(url):
        raise ValueError(f"Not a web address: {url!r}")
    return url


def mailto(address: str) -> str:
    """Return the address as a mailto: URI, international domains in their ASCII form.

    ValueError for what is no plain mailbox. Source: RFC 6068 section 2.
    """
    if not MAILBOX.fullmatch(address):
        raise ValueError(f"Not an e-mail address: {address!r}")
    local, _, domain = address.rpartition("@")
    return f"mailto:{quote(local, safe=LOCAL_SAFE)}@{domain.encode('idna').decode('ascii')}"


def mailbox(uri: str) -> str:
    """Return the address inside a mailto: URI, in small letters, for comparison."""
    return unquote(re.sub("^mailto:", "", uri, flags=re.IGNORECASE)).lower()
