"""What a member of a proposal may be, as far as a condition over it must know."""

from __future__ import annotations

from changeout.domain.value import value


@value(frozen=True, slots=True, kw_only=True)
class MemberValues:
    """The tests that a condition can put to a member, and its values where they are a closed list.

    ``closed`` is None where any text, or any number, may stand.
    """

    tests: tuple[str, ...]
    closed: tuple[str | bool, ...] | None = None
