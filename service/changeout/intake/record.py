"""Objects and lists of the proposal: closed, with every error at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Protocol, Unpack

from marshmallow import RAISE, Schema, ValidationError

from changeout.domain import facts
from changeout.intake.fields import Member, Options
from changeout.intake.flaws import Flaw, refusal_of
from changeout.intake.suggestions import nearest_name

_MOST_NAMES = 14
"""How many member names a message lists."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinds:
    """Which members go with which kind or method of an object; the ones that no kind lists go with all."""

    chosen_by: str
    members: Mapping[str, tuple[str, ...]]

    def barred(self, kind: str) -> frozenset[str]:
        """Return the members that do not go with *kind*."""
        ruled = {name for names in self.members.values() for name in names}
        return frozenset(ruled.difference(self.members[kind]))

    def explain(self, _code: str, value: object) -> tuple[str, str | None]:
        """Return which members go with the kind."""
        names = ", ".join(self.members[str(value)])
        return f"With {self.chosen_by} {value}, the members expected are {names}.", None


class _KeepsErrors(Protocol):
    """Where marshmallow collects errors."""

    def store_error(self, messages: object) -> None:
        """Keep the messages of one validation error."""


class Record(Schema):
    """A closed object: members of other names are refused, and so are members that do not go with its kind."""

    class Meta:
        """No member beyond those declared."""

        unknown = RAISE

    builds: ClassVar[type | None] = None
    """The class of the domain that it becomes."""

    never_stated: ClassVar[tuple[str, ...]] = ()
    """Attributes of that class for which the proposal has no member."""

    kinds: ClassVar[Kinds | None] = None
    example: ClassVar[str] = "{}"

    def __init__(self) -> None:
        """Lay the members out by their JSON names."""
        super().__init__()
        self.members: dict[str, Member] = {}
        for name, field in self.load_fields.items():
            if not isinstance(field, Member):
                raise TypeError(f"{type(self).__name__}.{name} is not a field of this package")
            self.members[field.data_key or name] = field
        self.required = tuple(name for name, member in self.members.items() if member.required)
        self.by_name_when_read = {member.name_when_read: (name, member) for name, member in self.members.items()}
        self._readers = {name: (member.name_when_read, member.take) for name, member in self.members.items()}
        self._barred = {kind: self.kinds.barred(kind) for kind in self.kinds.members} if self.kinds else {}

    def take(self, data: object) -> dict[str, Any]:
        """Return the members that *data* states, by attribute, in base units.

        Raises:
            ValidationError: with the flaws of all members; what could be read is in ``valid_data``.
        """
        if not isinstance(data, dict):
            raise refusal_of("wrong-type", self, data)
        taken, errors = self._read(data)
        for name in self.required:
            if data.get(name) is None:
                errors[name] = [Flaw("missing-member", self.members[name])]
        if self.kinds is not None:
            self._check_kind(self.kinds, data, errors)
        if errors:
            raise ValidationError(errors, valid_data=taken)
        return taken

    def _read(self, data: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
        taken: dict[str, Any] = {}
        errors: dict[str, Any] = {}
        readers = self._readers
        for name, value in data.items():
            if name not in readers:
                errors[name] = [Flaw("unknown-member", self, name)]
            elif value is not None:
                attribute, take = readers[name]
                try:
                    taken[attribute] = take(value)
                except ValidationError as error:
                    errors[name] = error.messages
                    if error.valid_data is not None:
                        taken[attribute] = error.valid_data
        return taken, errors

    def _check_kind(self, kinds: Kinds, data: Mapping[str, Any], errors: dict[str, Any]) -> None:
        kind = data.get(kinds.chosen_by)
        for name in self._barred.get(kind, ()) if isinstance(kind, str) else ():
            if data.get(name) is not None:
                errors[name] = [Flaw("wrong-for-kind", kinds, kind)]

    def _deserialize(self, data: object, *, error_store: _KeepsErrors, **_options: object) -> object:
        try:
            return self.take(data)
        except ValidationError as error:
            error_store.store_error(error.messages)
            return error.valid_data

    def explain(self, code: str, value: object) -> tuple[str, str | None]:
        """Return what was expected: an object, or the nearest name to an unknown one."""
        if code == "unknown-member":
            nearest = nearest_name(str(value), self.members)
            if nearest is not None:
                return f"No member of this name is known here; the nearest known name is {nearest}.", nearest
            names = ", ".join(list(self.members)[:_MOST_NAMES])
            more = " and others" if len(self.members) > _MOST_NAMES else ""
            return f"No member of this name is known here; known are {names}{more}.", None
        return f"Expected here: an object, such as {self.example}.", None


class Nested(Member):
    """A member that is an object.

    Of equipment that may be there or not, the object says that it is there, even when nothing is known of it.
    """

    def __init__(
        self, said: Mapping[str, str], record: type[Record], says_presence: bool = False, **options: Unpack[Options]
    ) -> None:
        """Keep the object's schema, and whether the object itself says something."""
        super().__init__(said, **options)
        self.record = record()
        self.says_presence = says_presence

    def take(self, value: object) -> dict[str, Any]:
        """Return the object's members."""
        return self.record.take(value)

    @property
    def expected(self) -> str:
        """What is expected."""
        return f"an object, such as {self.record.example}"


class ListOf(Member):
    """A member that is a list of objects."""

    fact = facts.Listed

    def __init__(self, said: Mapping[str, str], record: type[Record], most: int, **options: Unpack[Options]) -> None:
        """Keep the objects' schema and how many there may be."""
        super().__init__(said, **options)
        self.record = record()
        self.most = most

    def take(self, value: object) -> list[dict[str, Any]]:
        """Return the objects' members, in order.

        Raises:
            ValidationError: with the flaws of all objects; ``valid_data`` has an entry for each all the same.
        """
        if not isinstance(value, list):
            raise refusal_of("wrong-type", self, value)
        if len(value) > self.most:
            raise refusal_of("too-many", self, value)
        take = self.record.take
        taken: list[dict[str, Any]] = []
        errors: dict[int, Any] = {}
        for index, item in enumerate(value):
            try:
                taken.append(take(item))
            except ValidationError as error:
                errors[index] = error.messages
                taken.append(error.valid_data if isinstance(error.valid_data, dict) else {})
        if errors:
            raise ValidationError(errors, valid_data=taken)
        return taken

    @property
    def expected(self) -> str:
        """What is expected."""
        return f"a list of at most {self.most} objects, such as [{self.record.example}]"
