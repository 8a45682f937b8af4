"""What somebody malicious or a broken program sends: values, and whole bodies made of them."""

import json
from functools import cache
from typing import Any

from hypothesis import strategies as st

DEEP = "[" * 2000 + "]" * 2000
VALUES = (
    *("", " ", "\x00", "a\x00b", "\ud800", "\udfff\ud800", "\u202egnp.exe", "\u0301" * 300),
    *("<script>alert(1)</script>", "{{ 7*7 }}", "%00", "%s%n", "' OR 1=1 --", "../../etc/passwd"),
    *("\r\nBcc: x@y.example", "\u2028", "\ufeff", "\U0001f9ea", "x" * 70_000, "0", "-0", "-1"),
    *("1e309", "-1e309", "NaN", "Infinity", "9" * 30, "-" + "9" * 30, "9" * 5000, "0x10", "1_000"),
    *("9223372036854775807", "9223372036854775808", "-9223372036854775809", "2147483648", "٣", "²"),
    *("1.5", "1,5", "0.0000000000000000001", "1e-400", "0000-00-00", "0001-01-01", "9999-12-31"),
    *("2026-02-30", "2026-2-9", "10000-01-01", "2026-05-09T25:61", "2026-03-08T02:30"),
    *("2026-11-01 01:30", "24:00", "23:59:60", "-1:00", "20260509T9999Z", "99999999T0000Z"),
    *("on", "off", "true", "None", "null", "[]", "{}", '{"a": NaN}', '"\\ud800"', DEEP),
    *("x@y", "@", "a@b.example,c@d.example", "a@" + "b" * 300 + ".example", "é@é.example"),
    *("javascript:alert(1)", "//evil.example", "\\\\evil.example", "1;2;3", "1,2,3", "S1"),
)
KEYS = ("form-TOTAL_FORMS", "form-INITIAL_FORMS", "form-0-id", "", "pk", "next", "age", "trap")
Pairs = list[tuple[str, str]]


@cache
def values() -> st.SearchStrategy[str]:
    """Give a value: one that has broken programs before, or any text at all."""
    deep = st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
        max_leaves=6,
    )
    number = st.integers().map(str) | st.dates().map(str) | st.datetimes().map(str)
    return st.sampled_from(VALUES) | st.text(max_size=40) | number | deep.map(json.dumps)


@st.composite
def bodies(draw: st.DrawFn, base: dict[str, list[Any]]) -> Pairs:
    """Give a body: what the page's own form would send, with one to four things wrong."""
    sent = {name: [str(value) for value in found] for name, found in base.items()}
    names = [*base, *KEYS]
    for _ in range(draw(st.integers(1, 4))):
        name = draw(st.sampled_from(names))
        wrong = draw(st.lists(values(), max_size=3))
        keeps = draw(st.booleans()) and name in sent
        sent[name] = [*sent[name], *wrong] if keeps else wrong
    return [(name, value) for name, found in sent.items() for value in found]
