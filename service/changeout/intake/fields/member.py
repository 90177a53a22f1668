"""What every kind of member has in common."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, TypedDict, Unpack

from marshmallow import Schema
from marshmallow.fields import Field  # noqa: TID251  (the base class: it coerces nothing)


class Options(TypedDict, total=False):
    """What any member may say beside its own: that it is required, and its JSON name where Python has no such name."""

    required: bool
    data_key: str


def about(title: str, description: str, *, found_at: str) -> dict[str, str]:
    """Return the metadata of a member: its name, its meaning, and where in the field the fact is found."""
    return {"title": title, "description": description, "found_at": found_at}


class Member(Field[Any]):
    """One member of an object of the proposal."""

    fact: ClassVar[type | None] = None
    """The class of the fact that the member becomes."""

    unit_in_name = ""
    """What its name ends in once it is read, behind an underscore: the base unit."""

    name_when_read = ""
    """Its name among what was read. Set by the object; there a trailing underscore keeps off Python's own names."""

    def __init__(self, said: Mapping[str, str], **options: Unpack[Options]) -> None:
        """Keep the metadata that ``about`` made."""
        super().__init__(metadata=said, **options)

    def _bind_to_schema(self, field_name: str, parent: Schema | Field[Any]) -> None:
        super()._bind_to_schema(field_name, parent)
        name = field_name.removesuffix("_")
        self.name_when_read = f"{name}_{self.unit_in_name}" if self.unit_in_name else name
        self.attribute = self.name_when_read
        self.data_key = self.data_key or name

    def _deserialize(self, value: object, *_place: object, **_options: object) -> object:
        return self.take(value)

    def take(self, value: object) -> object:
        """Return what *value* says, in base units.

        Raises:
            ValidationError: with flaws, if it is not of the member's kind.
        """
        raise NotImplementedError

    @property
    def expected(self) -> str:
        """What is expected, as a noun phrase with an example."""
        raise NotImplementedError

    def explain(self, code: str, _value: object) -> tuple[str, str | None]:
        """Return one sentence that says what was expected, and a suggestion or None."""
        if code == "missing-member":
            return f"This member is required; expected: {self.expected}.", None
        return f"Expected here: {self.expected}.", None
