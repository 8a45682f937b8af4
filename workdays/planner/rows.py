"""Typed reading of JSON objects: each wrong or missing field becomes one clear sentence."""

from collections.abc import Mapping
from typing import Any

MOST = 1_000_000


class NotADayError(ValueError):
    """The file is not what it should be; the message is one sentence for a person."""


class Row:
    """One JSON object of a file, called `where` in sentences."""

    def __init__(self, where: str, fields: object) -> None:
        if not isinstance(fields, dict):
            raise NotADayError(f"{where} is not an object with named fields.")
        self.where = where
        self.fields: Mapping[str, Any] = fields

    def wrong(self, key: str, wanted: str) -> NotADayError:
        """The error for a field that is not what is wanted."""
        return NotADayError(f"{self.where}: {key} must be {wanted}.")

    def whole(self, key: str, default: int | None = None, least: int = 0) -> int:
        """A whole number; required where there is no default."""
        found = self.fields.get(key, default)
        if isinstance(found, bool) or not isinstance(found, int) or not least <= found <= MOST:
            raise self.wrong(key, f"a whole number from {least} to {MOST}")
        return found

    def maybe_whole(self, key: str) -> int | None:
        """A whole number or None."""
        return None if self.fields.get(key) is None else self.whole(key)

    def metres(self, key: str) -> float:
        """A number; 0 where absent."""
        found = self.fields.get(key, 0)
        if isinstance(found, bool) or not isinstance(found, int | float) or abs(found) > MOST:
            raise self.wrong(key, "a number of metres")
        if found != found:
            raise self.wrong(key, "a number of metres")
        return found

    def text(self, key: str, default: str | None = None) -> str:
        """A text; required and not empty where there is no default."""
        found = self.fields.get(key, default)
        if not isinstance(found, str) or (default is None and not found):
            raise self.wrong(key, "a text")
        return found

    def maybe_text(self, key: str) -> str | None:
        """A text or None."""
        return None if self.fields.get(key) is None else self.text(key)

    def yes(self, key: str, default: bool) -> bool:
        """True or false."""
        found = self.fields.get(key, default)
        if not isinstance(found, bool):
            raise self.wrong(key, "true or false")
        return found

    def items(self, key: str, *, required: bool = False) -> list[Any]:
        """A list; empty where absent, unless required."""
        found = self.fields.get(key, None if required else [])
        if not isinstance(found, list):
            raise self.wrong(key, "a list")
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; empty where absent."""
        found = self.items(key)
        if not all(isinstance(item, str) for item in found):
            raise self.wrong(key, "a list of texts")
        return tuple(found)

    def counts(self, key: str) -> dict[str, int]:
        """Names with whole numbers; empty where absent."""
        row = Row(f"{self.where}: {key}", self.fields.get(key, {}))
        return {name: row.whole(name) for name in row.fields}

    def names(self, key: str) -> dict[str, str]:
        """Names with texts; empty where absent."""
        row = Row(f"{self.where}: {key}", self.fields.get(key, {}))
        return {name: row.text(name) for name in row.fields}

    def rows(self, key: str, *, required: bool = False) -> list["Row"]:
        """A list of objects, each called by its id or its place."""
        found = self.items(key, required=required)
        return [Row(f"{key} {_called(item, i)}", item) for i, item in enumerate(found, start=1)]

    def row(self, key: str) -> "Row":
        """An object; empty where absent."""
        return Row(key, self.fields.get(key, {}))


def _called(item: object, number: int) -> str:
    key = item.get("id") if isinstance(item, dict) else None
    return key[:40] if isinstance(key, str) else f"number {number}"


def unique(what: str, keys: list[str]) -> None:
    """Raise NotADayError if one id stands twice."""
    twice = [key for key in keys if keys.count(key) > 1] if len(set(keys)) < len(keys) else []
    if twice:
        raise NotADayError(f"{what} {twice[0][:40]} stands twice in the file.")
