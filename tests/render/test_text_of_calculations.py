"""A calculation as text: a table whose columns stand under each other and whose cells go on below."""

import pytest

from changeout.application.calculations import CALCULATIONS
from changeout.application.service import Service
from changeout.render.steps_text import calculation_text
from edited_proposals import example

SERVICE = Service.load()
HEADINGS = ("symbol", "name", "expression", "value", "source")
WIDTH = 120


def step(**given):
    return {
        "symbol": "I", "name": "current", "expression": "240 / 0.05", "value": 4800.0, "low": 4800.0, "high": 4800.0,
        "unit": "A", "source": "circuit theory", **given,
    }  # fmt: skip


def page(*steps, **given):
    number = {"value": 4800.0, "low": 4800.0, "high": 4800.0, "unit": "A"}
    return {
        "title": "Current", "result": number, "results": [], "steps": list(steps), "assumptions": [], "cautions": [],
        "missing": [], **given,
    }  # fmt: skip


def rows(text):
    """Return the cells of the table of steps, continued ones joined."""
    lines = text.split("\n")
    top = next(i for i, line in enumerate(lines) if line.startswith("symbol"))
    starts = [lines[top].index(heading) for heading in HEADINGS]
    found = []
    for line in lines[top + 2 :]:
        if not line:
            break
        cells = [line[a:b].strip() for a, b in zip(starts, [*starts[1:], None], strict=True)]
        if cells[0]:
            found.append(cells)
        else:
            found[-1] = [f"{a} {b}".strip() for a, b in zip(found[-1], cells, strict=True)]
    return found


def test_one_step():
    text = calculation_text(page(step()))
    assert text.startswith("Current: 4,800 A\n")
    assert rows(text) == [["I", "current", "240 / 0.05", "4,800 A", "circuit theory"]]


@pytest.mark.parametrize(
    ("given", "value"),
    [
        ({"value": None, "low": 1.5, "high": 2.0}, "1.5 to 2 A"),
        ({"value": None, "low": 1.5, "high": None}, "1.5 A or more"),
        ({"value": None, "low": None, "high": None}, "no known bound"),
        ({"value": None, "low": None, "high": None, "unit": ""}, ""),
        ({"value": 0.88, "low": 0.88, "high": 0.88, "unit": ""}, "0.88"),
    ],
)
def test_values(given, value):
    assert rows(calculation_text(page(step(**given))))[0][3] == value


def test_a_figure_is_not_written_twice():
    figure = step(expression="1200", value=1200.0, low=1200.0, high=1200.0)
    assert rows(calculation_text(page(figure)))[0] == ["I", "current", "", "1,200 A", "circuit theory"]


def test_long_cells_go_on_below_in_their_column():
    long = step(name="a name " * 12, expression="1 + 2 + " * 20 + "3", source="a source " * 12)
    text = calculation_text(page(long, step()))
    assert max(map(len, text.split("\n"))) <= WIDTH
    assert rows(text)[0][1:3] == [long["name"].strip(), long["expression"]]
    assert rows(text)[1] == ["I", "current", "240 / 0.05", "4,800 A", "circuit theory"]


def test_results_and_remarks():
    result = {"at": "panelboard", "name": "line to line", "value": None, "low": 1.0, "high": None, "unit": "A"}
    lists = {"assumptions": ["Bolted."], "cautions": ["Beware."], "missing": ["/supply/runs"]}
    lines = calculation_text(page(step(), results=[result], **lists)).split("\n")
    assert "panelboard  line to line  1 A or more" in lines
    for said in ("Assumptions:", "  - Bolted.", "Cautions:", "  - Beware.", "Missing:", "  - /supply/runs"):
        assert said in lines


def test_nothing_in_a_name_steers_the_terminal():
    text = calculation_text(page(step(name="a\x1b[31mb\u202ec"), title="t\x07", cautions=["x\x1b[0m"]))
    assert not {"\x1b", "\u202e", "\x07"} & set(text)
    assert "\\u001b[31mb" in text


@pytest.mark.parametrize("kind", CALCULATIONS)
@pytest.mark.parametrize("name", SERVICE.examples())
def test_every_step_of_every_example_is_in_its_row(name, kind):
    made = SERVICE.calculate(kind, example(name))
    text = calculation_text(made)
    assert max(map(len, text.split("\n"))) <= WIDTH
    found = rows(text)
    assert len(found) == len(made["steps"])
    for cells, given in zip(found, made["steps"], strict=True):
        assert cells[0] == given["symbol"]
        for cell, whole in ((cells[1], given["name"]), (cells[4], given["source"])):
            assert cell.replace(" ", "") == whole.replace(" ", "")
        assert cells[2].replace(" ", "") in {"", given["expression"].replace(" ", "")}
