"""Value classes behave as frozen dataclasses do: what Python's own ``dataclass(frozen=True)`` gives is the measure."""

import dataclasses
import pickle

import pytest
from mypy import api as mypy

from changeout.domain.value import value


@value(frozen=True, slots=True)
class Ours:
    name: str
    low: float = 0.0


@dataclasses.dataclass(frozen=True, slots=True)
class Theirs:
    name: str
    low: float = 0.0


@value(frozen=True, slots=True, eq=False)
class Itself:
    name: str


@pytest.mark.parametrize("kind", [Ours, Theirs])
def test_equal_members_make_equal_values(kind):
    one, same, other = kind("a", 1.0), kind("a", 1.0), kind("a")
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert {one, same, other} == {one, other}
    assert one != (one.name, one.low)
    assert repr(one) == f"{kind.__name__}(name='a', low=1.0)"


@pytest.mark.parametrize("kind", [Ours, Theirs])
def test_members_are_those_declared(kind):
    assert [field.name for field in dataclasses.fields(kind)] == ["name", "low"]
    assert dataclasses.replace(kind("a"), low=2.0) == kind("a", 2.0)
    assert dataclasses.asdict(kind("a")) == {"name": "a", "low": 0.0}
    assert not hasattr(kind("a"), "__dict__")
    assert pickle.loads(pickle.dumps(kind("a", 3.0))) == kind("a", 3.0)
    with pytest.raises((AttributeError, TypeError)):
        kind("a").other = 1


def test_a_value_without_equality_is_itself_only():
    one = Itself("a")
    assert one != Itself("a")
    assert len({one, one, Itself("a")}) == 2


def test_what_is_not_frozen_is_no_value():
    with pytest.raises(TypeError, match="a value is frozen"):
        value(frozen=False, slots=True)


def test_the_types_refuse_an_assignment(tmp_path):
    """As mypy reads every module of the package before the tests run."""
    module = tmp_path / "assigns.py"
    module.write_text(
        "from changeout.domain.facts import Claim\n"
        "from changeout.domain.truth import Truth\n"
        "claim = Claim(Truth.YES)\n"
        "claim.truth = Truth.NO\n"
    )
    out, _err, status = mypy.run(["--no-incremental", "--follow-imports=silent", str(module)])
    assert status == 1
    assert 'assigns.py:4: error: Property "truth" defined in "Claim" is read-only' in out
