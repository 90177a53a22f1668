"""Members that are free text, dates, and annotations."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import ClassVar, Final, Unpack

from marshmallow import ValidationError

from changeout.domain import facts
from changeout.intake.fields.member import Member, Options
from changeout.intake.flaws import refusal_of

TEXT_PATTERN: Final = (
    "^ *"
    "[^\\u0000-\\u0020\\u007f-\\u009f\\u2028-\\u202e\\u2066-\\u2069\\ufeff\\ufffe\\uffff]"
    "[^\\u0000-\\u001f\\u007f-\\u009f\\u2028-\\u202e\\u2066-\\u2069\\ufeff\\ufffe\\uffff]*$"
)
"""Something other than spaces, without control characters, line separators and marks that turn the direction."""

DAY_PATTERN: Final = "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"

_TEXT: Final = re.compile(TEXT_PATTERN.removeprefix("^").removesuffix("$"))
_DAY: Final = re.compile(DAY_PATTERN.removeprefix("^").removesuffix("$"), re.ASCII)


class Text(Member):
    """Free text: echoed, compared, never interpreted."""

    fact: ClassVar[type | None] = facts.Text

    def __init__(self, said: Mapping[str, str], longest: int, example: str, **options: Unpack[Options]) -> None:
        """Keep the greatest length, in characters, and an example."""
        super().__init__(said, **options)
        self.longest = longest
        self.example = example

    def take(self, value: object) -> str:
        """Return the text as it is."""
        if type(value) is not str:
            raise refusal_of("wrong-type", self, value)
        if len(value) > self.longest or _TEXT.fullmatch(value) is None:
            raise refusal_of("bad-text", self, value)
        return value

    @property
    def expected(self) -> str:
        """What is expected."""
        return f'a text of 1 to {self.longest} characters without control characters, such as "{self.example}"'


class DocumentRef(Text):
    """The id of an entry of ``documents``."""

    fact = facts.Evidence

    @property
    def expected(self) -> str:
        """What is expected."""
        return f'the id of an entry of documents, such as "{self.example}"'


class Day(Member):
    """A date."""

    fact = facts.Day

    def take(self, value: object) -> dt.date:
        """Return the day that the text names."""
        if type(value) is not str:
            raise refusal_of("wrong-type", self, value)
        if _DAY.fullmatch(value) is None:
            raise refusal_of("bad-date", self, value)
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            raise refusal_of("bad-date", self, value) from None

    @property
    def expected(self) -> str:
        """What is expected."""
        return 'a day that exists, written YYYY-MM-DD, such as "2026-03-02"'


class Annotations(Member):
    """Short texts by name, echoed and never interpreted."""

    most = 20

    def __init__(self, said: Mapping[str, str], **options: Unpack[Options]) -> None:
        """Set the limits of names and texts."""
        super().__init__(said, **options)
        self.key = Text(said, 64, "permit")
        self.text = Text(said, 200, "2026-0113")

    def take(self, value: object) -> dict[str, str]:
        """Return the annotations in the order given."""
        if not isinstance(value, dict):
            raise refusal_of("wrong-type", self, value)
        if len(value) > self.most:
            raise refusal_of("too-many", self, value)
        errors: dict[str, object] = {}
        taken: dict[str, str] = {}
        for name, text in value.items():
            try:
                self.key.take(name)
                if text is not None:
                    taken[name] = self.text.take(text)
            except ValidationError as error:
                errors[name] = error.messages
        if errors:
            raise ValidationError(errors)
        return taken

    @property
    def expected(self) -> str:
        """What is expected."""
        return f'an object of at most {self.most} short texts, such as {{"permit": "2026-0113"}}'
