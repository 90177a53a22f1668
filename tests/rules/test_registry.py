"""What makes a function a rule: its head, its documentation, its parameters."""

import datetime as dt

import pytest

from changeout.domain.findings import Stage
from changeout.rules import _registry
from changeout.rules._registry import Limits, registered, rule

HEAD = {
    "group": "location",
    "about": "/location",
    "stage": Stage.INSPECTION,
    "needs": ["/location/damp"],
    "applies_to": "every lamp",
}


@pytest.fixture(autouse=True)
def no_rules(monkeypatch):
    monkeypatch.setattr(_registry, "_RULES", {})


def lamp_lights(*_):
    """The lamp lights.

    Because: it is dark.
    Passes: when it
        lights.

    Fails: when it does not: then it is out.
    Cannot tell: when nobody looked.
    Not covered: its colour.
    """


def test_a_rule_has_its_head_and_its_documentation():
    made = rule("lamp-lights", **HEAD, parameters={"least_lm": "number", "until": "day?"})(lamp_lights)
    assert made is lamp_lights
    found = registered()["lamp-lights"]
    assert found.id == "lamp-lights"
    assert found.group == "location"
    assert found.about == "/location"
    assert found.stage is Stage.INSPECTION
    assert found.needs == ("/location/damp",)
    assert found.applies_to == "every lamp"
    assert found.parameters == {"least_lm": "number", "until": "day?"}
    assert found.check is lamp_lights
    assert found.title == "The lamp lights"
    assert found.sections == {
        "Because": "it is dark.",
        "Passes": "when it lights.",
        "Fails": "when it does not: then it is out.",
        "Cannot tell": "when nobody looked.",
        "Not covered": "its colour.",
    }


def test_no_parameters_are_none():
    rule("lamp-lights", **HEAD)(lamp_lights)
    assert registered()["lamp-lights"].parameters == {}


def test_an_id_is_taken_once():
    rule("lamp-lights", **HEAD)(lamp_lights)
    with pytest.raises(ValueError, match=r"^two rules are called lamp-lights$"):
        rule("lamp-lights", **HEAD)(lamp_lights)


def test_a_parameter_of_no_known_kind_is_refused():
    with pytest.raises(ValueError, match=r"^lamp-lights: parameter x has the unknown kind wish$"):
        rule("lamp-lights", **HEAD, parameters={"x": "wish"})(lamp_lights)
    assert registered() == {}


def test_a_lacking_section_is_named():
    def short(*_):
        """The lamp lights.

        Because: it is dark.
        Fails: when it does not.
        """

    with pytest.raises(ValueError, match=r"^lamp-lights: the docstring lacks Passes, Cannot tell$"):
        rule("lamp-lights", **HEAD)(short)


def test_a_rule_without_docstring_is_refused():
    def bare(*_):
        pass

    with pytest.raises(ValueError, match=r"the docstring lacks Because, Passes, Fails, Cannot tell$"):
        rule("lamp-lights", **HEAD)(bare)


def test_what_is_registered_is_a_copy():
    registered()["x"] = None
    assert registered() == {}


LIMITS = Limits(
    {
        "n": 3,
        "f": True,
        "w": "dry",
        "ws": ("dry", "wet"),
        "ns": (1, 2.5),
        "d": dt.date(2026, 1, 1),
    }
)


def test_parameters_are_read_by_their_kind():
    assert LIMITS.number("n") == 3.0
    assert isinstance(LIMITS.number("n"), float)
    assert LIMITS.flag("f") is True
    assert LIMITS.word("w") == "dry"
    assert LIMITS.words("ws") == ("dry", "wet")
    assert LIMITS.numbers("ns") == (1.0, 2.5)
    assert LIMITS.day("d") == dt.date(2026, 1, 1)
    assert LIMITS.day("none") is None
    assert LIMITS.optional_number("n") == 3.0
    assert LIMITS.optional_number("none") is None


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("number", ("f", "w", "ws", "d")),
        ("flag", ("n", "w")),
        ("word", ("n", "f", "ws")),
        ("words", ("n", "w")),
        ("numbers", ("n", "w")),
        ("day", ("n", "w", "ws")),
        ("optional_number", ("f", "w")),
    ],
)
def test_a_parameter_of_another_kind_is_refused(kind, names):
    for name in names:
        with pytest.raises(TypeError, match=rf"^parameter {name} is no "):
            getattr(LIMITS, kind)(name)
