"""Pictures: well-formed, in words as in lines, nothing outside its frame or over something else, unknowns said."""

import copy
import json
import re

import pytest
from defusedxml import ElementTree

from changeout.application.service import Service
from changeout.intake.read import read_proposal
from changeout.render.pictures import PICTURES, pictures_of
from changeout.render.pictures.drawing import LINE_HEIGHT, TEXT_SIZE, size_of, text_width, wrapped
from changeout.render.pictures.layout import circuit_layout
from changeout.render.pictures.load import load_chart
from changeout.render.pictures.one_line import one_line_diagram
from changeout.render.pictures.ratings import ratings_chart
from changeout.render.positions import positions_of
from render.reading import SVG, tag

SERVICE = Service.load()
LONG = "northern corridor <b>lighting</b> & receptacles 北側の廊下照明とコンセント "


def of(document):
    """A proposal and its calculations."""
    read = read_proposal(json.dumps(document).encode())
    return read.proposal, SERVICE.report_on(read).calculations


def example(name):
    return json.loads(SERVICE.example(name))


def least():
    return {
        "changeout": 1,
        "project": {"edition": "2023", "occupancy": "commercial"},
        "work": {"scope": "enclosed-panelboard"},
    }


def crowded():
    """42 circuits with the longest texts, each third with a rating of its own; one over others; long names."""
    document = example("plant-service-480y")
    document["panelboard"]["marked_maximum_poles"] = 42
    document["panelboard"]["circuits"] = [
        {
            "number": number,
            "poles": 3 if number == 1 else 1,
            "breaker": {"rating": "20 A", **({} if number % 3 else {"interrupting_rating": f"{14 + number} kA"})},
            "serves": (LONG * 2)[:60].strip() if number % 2 else "x" * 60,
        }
        for number in range(1, 43)
    ]
    document["supply"]["source"] = {"kind": "stated", "stated_by": "W" * 64, "available_fault_current": "34 kA"}
    document["supply"]["runs"][0]["id"] = "W" * 20
    del document["supply"]["runs"][0]["length"]
    return document


DOCUMENTS = {
    "house": lambda: example("dwelling-service"),
    "half known": lambda: example("half-known-dwelling"),
    "with a transformer": lambda: example("office-behind-transformer"),
    "high leg": lambda: example("workshop-high-leg"),
    "with pv": lambda: example("house-with-pv"),
    "least": least,
}


@pytest.fixture(scope="module", params=DOCUMENTS)
def known(request):
    return of(DOCUMENTS[request.param]())


@pytest.fixture(scope="module")
def crowd():
    read = read_proposal(json.dumps(crowded()).encode())
    report = SERVICE.report_on(read, detail="findings")
    calculated = SERVICE.report_on(read_proposal(json.dumps(example("plant-service-480y")).encode())).calculations
    return read.proposal, calculated, report


def trees(proposal, calculations):
    return {name: ElementTree.fromstring(draws(proposal, calculations)) for name, draws in PICTURES.items()}


def described(svg):
    return ElementTree.fromstring(svg).find(f"{SVG}desc").text


def check_within(tree):
    _, _, width, height = map(float, tree.get("viewBox").split())
    for shape in tree.iter():
        name = tag(shape)
        if name == "text":
            size = text_width(shape.text or "", size_of(shape.get("class")))
            start = float(shape.get("x")) - {"start": 0.0, "middle": size / 2, "end": size}[shape.get("text-anchor")]
            assert start >= -0.5, shape.text
            assert start + size <= width + 0.5, shape.text
            assert TEXT_SIZE / 2 <= float(shape.get("y")) <= height
        elif name == "rect":
            assert float(shape.get("x")) >= 0
            assert float(shape.get("x")) + float(shape.get("width")) <= width
            assert float(shape.get("y")) + float(shape.get("height")) <= height
        elif name == "line":
            assert all(0 <= float(shape.get(x)) <= width for x in ("x1", "x2"))
            assert all(0 <= float(shape.get(y)) <= height for y in ("y1", "y2"))


def check_apart(tree):
    """No two lines of text lie over each other."""
    boxes = []
    for shape in tree.iter(f"{SVG}text"):
        size = size_of(shape.get("class"))
        width = text_width(shape.text or "", size) * 0.8
        x = float(shape.get("x")) - {"start": 0.0, "middle": width / 2, "end": width}[shape.get("text-anchor")]
        boxes.append((x, x + width, float(shape.get("y")), size, shape.text))
    for place, (left, right, y, size, text) in enumerate(boxes):
        for other_left, other_right, other_y, _, other in boxes[place + 1 :]:
            if left < other_right and other_left < right:
                assert abs(y - other_y) >= size * 0.9, (text, other)


def test_a_picture_is_well_formed_and_says_what_it_is(known):
    for tree in trees(*known).values():
        assert tree.tag == f"{SVG}svg"
        assert tree.get("role") == "img"
        names = tree.get("aria-labelledby").split()
        title, description = tree.find(f"{SVG}title"), tree.find(f"{SVG}desc")
        assert names == [title.get("id"), description.get("id")]
        assert title.text
        assert description.text
        assert {tag(e) for e in tree.iter()} <= {"svg", "title", "desc", "line", "rect", "circle", "path", "text"}


def test_nothing_lies_outside_the_frame_or_over_another_text(known):
    for tree in trees(*known).values():
        check_within(tree)
        check_apart(tree)


def test_long_texts_and_42_circuits_fit(crowd):
    proposal, calculations, _ = crowd
    for tree in trees(proposal, calculations).values():
        check_within(tree)
        check_apart(tree)


def test_colours_are_the_pages_own(known):
    for draws in PICTURES.values():
        svg = draws(*known)
        assert "style=" not in svg
        assert "<style" not in svg
        assert not re.search(r"#[0-9a-fA-F]{3,6}\b", svg)


def test_a_picture_that_stands_alone_brings_its_style():
    svg = one_line_diagram(*of(least()), stands_alone=True)
    assert "currentColor" in ElementTree.fromstring(svg).find(f"{SVG}style").text


def test_the_same_proposal_gives_the_same_picture(known):
    assert pictures_of(*known) == pictures_of(*known)


def test_the_diagram_names_every_part_and_the_current_at_each_point():
    told = described(one_line_diagram(*of(example("office-behind-transformer"))))
    for words in (
        "Run primary: 1 AWG copper",
        "Transformer on the premises 75 kVA, 4.2 %Z, X/R 1.7",
        "480Y/277V 3ph 4w to 208Y/120V 3ph 4w",
        "Run secondary: 4/0 AWG copper",
        "Panelboard, feeder",
        "Zt 0.02423 Ω",
    ):
        assert words in told
    for point in ("source terminals", "end of run primary", "transformer's secondary terminals", "panelboard"):
        assert re.search(rf"Available at {re.escape(point)}: [\d,]+ A \(", told)


def test_the_diagram_draws_a_symbol_for_each_kind_of_part():
    document = example("office-behind-transformer")
    breaker = one_line_diagram(*of(document)).count("a 13 13")
    document["supply"]["overcurrent_device"] = {"kind": "fuse", "rating": "225 A", "interrupting_rating": "200 kA"}
    assert one_line_diagram(*of(document)).count("a 13 13") == breaker - 1


def test_the_diagram_says_what_is_not_stated():
    told = described(one_line_diagram(*of(least())))
    for words in (
        "Source not stated",
        "Conductors not stated",
        "busbar not stated",
        "circuits not stated",
        "other sources of power not stated",
        "fault current not computed",
    ):
        assert words in told


def test_unknown_conductors_are_dashed():
    assert 'class="unknown"' in one_line_diagram(*of(example("half-known-dwelling")))
    assert 'class="unknown"' not in one_line_diagram(*of(example("dwelling-service")))


def test_a_rating_below_the_fault_current_stands_out_and_one_at_it_does_not():
    document = example("dwelling-service")
    _, calculations = of(document)
    available = calculations[0].result.interval.value
    for rating_a, short in ((available * 0.9, True), (available * 1.1, False)):
        changed = copy.deepcopy(document)
        changed["panelboard"]["short_circuit_rating"] = f"{rating_a:.0f} A"
        svg = ratings_chart(of(changed)[0], calculations)
        assert ('class="low"' in svg) == short
        assert f"short-circuit current rating: {round(rating_a):,} A" in described(svg)
        assert ("falls short" in described(svg)) == short


def test_a_range_is_a_band_and_a_number_is_a_line():
    band = ratings_chart(*of(example("half-known-dwelling")))
    line = ratings_chart(*of(example("dwelling-service")))
    assert 'class="band"' in band
    assert "logarithmic scale" in band
    assert 'class="band"' not in line
    assert 'class="mark"' in line


def test_the_chart_has_the_line_of_10_000_a_and_every_rating():
    told = described(ratings_chart(*of(example("office-behind-transformer"))))
    for words in (
        "line of 10,000 A",
        "panelboard, short-circuit current rating: 10,000 A",
        "main, interrupting rating: 22,000 A",
        "device ahead, interrupting rating: 22,000 A",
        "breakers of circuits 1, 2",
        "with nameplate tolerance and cold conductors",
    ):
        assert words in told


def test_ratings_that_nobody_stated_say_so():
    assert described(ratings_chart(*of(least()))).count("not stated") >= 2


def test_the_load_stands_beside_main_and_busbar():
    told = described(load_chart(*of(example("office-behind-transformer"))))
    for words in (
        "calculated load: 127.7 A",
        "main rating: 225 A",
        "busbar rating: 225 A",
        "device ahead, rating: 225 A",
    ):
        assert words in told


def test_a_main_smaller_than_the_load_stands_out():
    document = example("office-behind-transformer")
    _, calculations = of(document)
    document["panelboard"]["main"]["rating"] = "100 A"
    assert "main rating: 100 A, which falls short" in described(load_chart(of(document)[0], calculations))


def test_a_load_that_was_not_calculated_is_not_stated():
    assert "calculated load: not stated" in described(load_chart(*of(least())))


def test_odd_positions_are_left_even_ones_right_and_poles_span_rows():
    svg = ElementTree.fromstring(circuit_layout(of(example("dwelling-service"))[0]))
    taken = [r for r in svg.iter(f"{SVG}rect") if r.get("class") == "taken"]
    texts = {t.text: (float(t.get("x")), float(t.get("y"))) for t in svg.iter(f"{SVG}text")}
    left, right = texts["50 A, 2 poles: kitchen range"], texts["30 A, 2 poles: water heater in the hall cupboard"]
    assert left[0] < right[0]
    assert abs(left[1] - right[1]) < 1
    heights = {float(r.get("height")) for r in taken}
    assert len(heights) == 2
    assert max(heights) > 2 * min(heights)


def test_spaces_are_shown_empty():
    svg = ElementTree.fromstring(circuit_layout(of(example("dwelling-service"))[0]))
    positions = positions_of(of(example("dwelling-service"))[0].panelboard)
    empty = [r for r in svg.iter(f"{SVG}rect") if r.get("class") == "empty"]
    assert len(empty) == positions.count - len(positions.taken)


def test_circuits_over_each_other_are_both_named(crowd):
    proposal, _, _ = crowd
    positions = positions_of(proposal.panelboard)
    assert [len(positions.taken[place]) for place in (1, 3, 5, 7)] == [1, 2, 2, 1]


def test_no_circuits_stated_is_said():
    assert described(circuit_layout(of(least())[0])) == "The circuits are not stated."


@pytest.mark.parametrize("text, width", [("a b c d e f", 20.0), ("x" * 50, 60.0), ("", 10.0), ("廊下照明" * 9, 100.0)])
def test_wrapped_text_fits_and_loses_nothing(text, width):
    lines = wrapped(text, width)
    assert all(text_width(line) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_text_beyond_its_lines_is_cut_with_a_sign():
    lines = wrapped("one two three four five six", 60.0, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert text_width(lines[-1]) <= 60.0


def test_a_number_keeps_its_unit():
    assert wrapped("rating of 10,000 A there", text_width("rating of 10,000"))[-1].startswith("10,000\u00a0A")


def test_lines_of_text_are_further_apart_than_their_size():
    assert LINE_HEIGHT > 1.0
