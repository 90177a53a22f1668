"""Read conditions over members of the proposal, and refuse those that no proposal could ever meet, or fail."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from changeout.domain.member_values import MemberValues
from changeout.editions.jurisdictions import Condition
from changeout.editions.rows import RulesetError

_TESTS: Final = ("equals", "among", "at_least", "at_most", "stated")

Complain = Callable[[str], RulesetError]


def read_condition(value: object, members: Mapping[str, MemberValues], complain: Complain) -> Condition:
    """Return the condition that *value* is, over one of *members*.

    Raises:
        RulesetError: made by *complain* from the reason, if it is none.
    """
    if not isinstance(value, dict) or set(value) - {"member", *_TESTS}:
        raise complain(f"a condition has a member and one of {', '.join(_TESTS)}")
    member, tests = value.get("member"), [test for test in _TESTS if test in value]
    if not isinstance(member, str) or member not in members:
        raise complain(f"the proposal has no member {member}")
    if len(tests) != 1:
        raise complain(f"a condition has exactly one of {', '.join(_TESTS)}")
    _check(member, tests[0], value[tests[0]], members[member], complain)
    return Condition(
        member=member,
        equals=value.get("equals"),
        among=tuple(value["among"]) if "among" in value else None,
        at_least=float(value["at_least"]) if "at_least" in value else None,
        at_most=float(value["at_most"]) if "at_most" in value else None,
        stated=value.get("stated"),
    )


def _check(member: str, test: str, value: object, values: MemberValues, complain: Complain) -> None:
    if test not in values.tests:
        raise complain(f"{member} can be asked for {', '.join(values.tests)}, not for {test}")
    if test == "stated":
        good, wanted = isinstance(value, bool), "true or false"
    elif test in {"at_least", "at_most"}:
        good = isinstance(value, int | float) and not isinstance(value, bool)
        wanted = "a number, in the base unit of the member"
    elif test == "among":
        good = isinstance(value, list) and bool(value) and all(_is_value(one, values) for one in value)
        wanted = f"a list of {_named(values)}"
    else:
        good, wanted = _is_value(value, values), _named(values)
    if not good:
        raise complain(f"{test} of {member} must be {wanted}")


def _named(values: MemberValues) -> str:
    if values.closed is None:
        return "a text"
    return " | ".join(str(one).lower() if isinstance(one, bool) else one for one in values.closed)


def _is_value(one: object, values: MemberValues) -> bool:
    if values.closed is None:
        return isinstance(one, str)
    return any(type(one) is type(value) and one == value for value in values.closed)
