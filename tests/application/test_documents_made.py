"""Documents: filled from the proposal and its report only, blank where a fact is unknown."""

import json
import re

import pytest

from changeout.application.decisions import MOST_DECISIONS
from changeout.application.documents import DOCUMENTS, FORMS, make_document
from changeout.application.service import Service
from changeout.domain.problems import ERRORS, Refusal
from changeout.render.finding_card import AT_INSPECTION
from changeout.render.page import BLANK_LINE
from render.reading import elements, html_tree, markdown_tree, tag, text_of

SERVICE = Service.load()
VIOLATED = "short-circuit-rating-at-least-fault-current"


def example(name):
    return json.loads(SERVICE.example(name))


def least():
    return {
        "changeout": 1,
        "project": {"edition": "2023", "occupancy": "commercial"},
        "work": {"scope": "interior-only"},
    }


def violating():
    """A house whose panelboard is rated below the fault current, with a field label that is only arranged."""
    document = example("dwelling-service")
    document["panelboard"]["short_circuit_rating"] = "5 kA"
    document["enclosure"]["former_listing_marks"] = "to-be-removed"
    del document["enclosure"]["unused_openings_closed"]
    del document["grounding"]["main_bonding_jumper"]
    return document


def made(kind, request, form="text/markdown", **options):
    return make_document(SERVICE, kind, json.dumps(request).encode(), form, **options).decode()


def letter(document, *decisions):
    return made("correction-letter", {"proposal": document, "decisions": list(decisions)})


def section(text, title):
    """What stands under a heading of the second level."""
    found = re.search(rf"^## {re.escape(title)}\n(.*?)(?=^## |^---$|\Z)", text, re.DOTALL | re.MULTILINE)
    return found[1] if found else ""


def listed(message):
    """A message as a list of what is to be seen has it, whose heading says when."""
    seen = message.removeprefix(AT_INSPECTION)
    return f"{seen[:1].upper()}{seen[1:]}"


def refused(document, *decisions):
    with pytest.raises(Refusal) as caught:
        letter(document, *decisions)
    return caught.value


@pytest.mark.parametrize("name", ["dwelling-service", "half-known-dwelling", "office-behind-transformer", "least"])
@pytest.mark.parametrize("kind", DOCUMENTS)
def test_a_document_is_valid_html_and_markdown_of_the_same_words(kind, name):
    document = least() if name == "least" else example(name)
    tree = html_tree(made(kind, document, "text/html"))
    ids = [e.attrib["id"] for e in elements(tree) if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    body = next(e for e in elements(tree) if tag(e) == "main")
    heads = [text_of(e) for e in elements(body) if re.fullmatch("h[1-6]", tag(e))]
    other = markdown_tree(made(kind, document))
    assert heads == [text_of(e) for e in elements(other) if re.fullmatch("h[1-6]|summary", tag(e))]
    assert "The authority having jurisdiction decides" in text_of(tree)
    assert "The authority having jurisdiction decides" in text_of(other)


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_a_bare_proposal_and_one_in_a_request_give_the_same(kind):
    document = example("dwelling-service")
    assert made(kind, document) == made(kind, {"proposal": document})


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_the_edition_can_be_chosen_beside_the_proposal(kind):
    document = example("dwelling-service")
    assert "Edition:** 2020" in made(kind, {"proposal": document, "edition": "2020"})
    assert "Edition:** 2020" in made(kind, document, edition="2020")
    assert "Edition:** 2020" in made(kind, {"proposal": document, "edition": "2017"}, edition="2020")


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_nothing_is_filled_in_that_nobody_stated(kind):
    text = made(kind, least())
    assert BLANK_LINE in text
    assert "None" not in re.sub(r"None of these", "", text)
    shown = text_of(markdown_tree(text))
    assert f"Reference: {BLANK_LINE}" in shown
    assert f"Applied on: {BLANK_LINE}" in shown


def test_no_document_of_another_kind_or_form_is_made():
    with pytest.raises(KeyError):
        made("permit", least())
    with pytest.raises(KeyError):
        made(DOCUMENTS[0], least(), "application/pdf")
    assert set(FORMS) == {"text/html", "text/markdown"}


# The correction letter


def test_the_letter_keeps_its_parts_apart():
    text = letter(violating())
    assert "is less than the available fault current" in section(text, "Corrections")
    assert "main bonding jumper" in section(text, "Information requests")
    assert "energized" in section(text, "Conditions")
    assert "openings" in section(text, "To be seen at inspection")
    for title in ("Information requests", "Conditions", "To be seen at inspection"):
        assert "is less than the available fault current" not in section(text, title)


def test_a_correction_has_section_numbers_and_remedies():
    part = section(letter(violating()), "Corrections")
    for words in ("(2023, 408.6", "**Found:** 5,000 A", "**Required:** at least", "Ways to correct:"):
        assert words in part


def test_what_rests_on_memory_is_to_be_confirmed():
    text = letter(violating())
    jumper = section(text, "Information requests")
    entry = jumper[jumper.rindex("main bonding jumper that is large enough") :]
    assert "Confirm in the adopted code" in entry.split("\n2.")[0]
    verified = section(text, "Corrections")
    assert "Confirm in the adopted code" not in verified.split("\n2.")[0]


def test_a_kept_finding_stays_where_it_was():
    assert section(letter(violating(), {"rule": VIOLATED, "action": "keep"}), "Corrections") == section(
        letter(violating()), "Corrections"
    )


def test_a_dropped_finding_leaves_with_its_reason():
    text = letter(violating(), {"rule": VIOLATED, "action": "drop", "text": "Replaced by a newer drawing."})
    assert "is less than the available fault current" not in section(text, "Corrections")
    part = section(text, "Set aside")
    assert "Dropped by the reviewer: Replaced by a newer drawing." in part
    assert "is less than the available fault current" in part
    assert ", violation" in part
    assert "1 violation that the review found is set aside, with the reason" in text
    assert "set aside" not in letter(violating())


def test_a_dropped_finding_says_who_dropped_it():
    dropped = {"rule": VIOLATED, "action": "drop", "text": "Newer drawing.", "by": "plan review, desk 4"}
    assert "Dropped by plan review, desk 4: Newer drawing." in section(letter(violating(), dropped), "Set aside")


def test_a_deferred_finding_and_a_note_say_whose_they_are():
    jumper = "main-bonding-jumper-present-and-sized"
    text = letter(
        violating(),
        {"rule": VIOLATED, "action": "defer", "by": "desk 4"},
        {"rule": jumper, "action": "note", "text": "See E2.", "by": "desk 5"},
    )
    assert "Deferred to the inspection by desk 4." in section(text, "To be seen at inspection")
    assert "Reviewer's note (by desk 5):** See E2." in section(text, "Information requests")


def test_what_is_dropped_is_not_asked_for():
    document = violating()
    asked = section(letter(document), "Information requests").split("Until then")[0]
    assert "/grounding/main_bonding_jumper/kind" in asked
    dropped = {"rule": "main-bonding-jumper-present-and-sized", "action": "drop", "text": "Seen on the photo."}
    assert "main_bonding_jumper" not in section(letter(document, dropped), "Information requests")


def test_what_is_set_aside_is_still_to_be_confirmed():
    dropped = {"rule": "main-bonding-jumper-present-and-sized", "action": "drop", "text": "Seen on the photo."}
    assert "Confirm in the adopted code" in section(letter(violating(), dropped), "Set aside")


def test_a_deferred_finding_goes_to_the_inspection():
    text = letter(violating(), {"rule": VIOLATED, "action": "defer", "text": "Read the nameplate."})
    assert "is less than the available fault current" not in section(text, "Corrections")
    part = section(text, "To be seen at inspection")
    assert "is less than the available fault current" in part
    assert "Deferred to the inspection by the reviewer:** Read the nameplate." in part


def test_a_note_stands_with_its_finding():
    text = letter(violating(), {"rule": VIOLATED, "subject": "/panelboard", "action": "note", "text": "See sheet E2."})
    assert "Reviewer's note:** See sheet E2." in section(text, "Corrections")


def test_a_decision_on_one_subject_goes_before_one_on_all():
    document = example("dwelling-service")
    for place in (0, 1):
        document["panelboard"]["circuits"][place]["breaker"]["interrupting_rating"] = "1 kA"
    rule = "branch-breaker-interrupting-rating"
    text = letter(
        document,
        {"rule": rule, "action": "note", "text": "All of them."},
        {"rule": rule, "subject": "/panelboard/circuits/0", "action": "drop", "text": "Taken out."},
    )
    assert "All of them." in section(text, "Corrections")
    assert "Taken out." in section(text, "Set aside")


def test_a_waived_violation_is_set_aside_in_sight():
    document = violating()
    document["waivers"] = [{"rule": VIOLATED, "reason": "until the new transformer", "granted_by": "the authority"}]
    text = letter(document)
    assert "is less than the available fault current" not in section(text, "Corrections")
    assert "Waived by the authority: until the new transformer" in section(text, "Set aside")


@pytest.mark.parametrize("action", ["keep", "note", "defer", "drop"])
def test_the_reviewer_decides_on_a_waived_violation_too(action):
    document = violating()
    document["waivers"] = [{"rule": VIOLATED, "reason": "until the new transformer", "granted_by": "the authority"}]
    text = letter(document, {"rule": VIOLATED, "action": action, "text": "Words of the reviewer."})
    title = {"keep": "Corrections", "defer": "To be seen at inspection"}.get(action, "Set aside")
    shown = section(text, title)
    for words in ("is less than the available fault current", "Waived by the authority", "Words of the reviewer."):
        assert words in shown
    assert ("The reviewer does not accept the waiver." in text) is (action == "keep")
    for other in {"Corrections", "To be seen at inspection", "Set aside"} - {title}:
        assert "is less than the available fault current" not in section(text, other)


@pytest.mark.parametrize("action", [None, "keep", "note", "defer", "drop"])
def test_no_finding_goes_missing_from_the_letter(action):
    document = violating()
    report = SERVICE.validate(json.dumps(document).encode())
    open_ = {f.rule for f in report.findings if f.outcome.value not in {"satisfied", "not-applicable"}}
    decisions = [{"rule": rule, "action": action, "text": "Why."} for rule in sorted(open_)] if action else []
    shown = text_of(markdown_tree(letter(document, *decisions)))
    for one in report.findings:
        if one.outcome.value not in {"satisfied", "not-applicable"}:
            assert listed(one.message) in shown, one.rule


def test_a_letter_without_corrections_says_so():
    document = example("dwelling-service")
    report = SERVICE.validate(json.dumps(document).encode())
    advised = [f for f in report.findings if f.outcome.value == "advisory"]
    text = letter(document, *({"rule": f.rule, "subject": f.subject, "action": "keep"} for f in advised))
    assert "asks for no correction" in text
    assert not section(text, "Corrections")


@pytest.mark.parametrize(
    "decision, code, pointer",
    [
        ("keep", "wrong-type", "/decisions/0"),
        ({"action": "keep"}, "missing-member", "/decisions/0/rule"),
        ({"rule": VIOLATED}, "missing-member", "/decisions/0/action"),
        ({"rule": VIOLATED, "action": 1}, "wrong-type", "/decisions/0/action"),
        ({"rule": VIOLATED, "action": "delete"}, "not-in-list", "/decisions/0/action"),
        ({"rule": VIOLATED, "action": "drop"}, "missing-member", "/decisions/0/text"),
        ({"rule": VIOLATED, "action": "note"}, "missing-member", "/decisions/0/text"),
        ({"rule": VIOLATED, "action": "note", "text": "  "}, "bad-text", "/decisions/0/text"),
        ({"rule": VIOLATED, "action": "note", "text": "x" * 2001}, "bad-text", "/decisions/0/text"),
        ({"rule": VIOLATED, "action": "keep", "by": ""}, "bad-text", "/decisions/0/by"),
        ({"rule": VIOLATED, "action": "keep", "by": "x" * 201}, "bad-text", "/decisions/0/by"),
        ({"rule": VIOLATED, "action": "keep", "why": "x"}, "unknown-member", "/decisions/0/why"),
        ({"rule": "no-such-rule", "action": "keep"}, "no-such-finding", "/decisions/0/rule"),
        ({"rule": VIOLATED, "subject": "/location", "action": "keep"}, "no-such-finding", "/decisions/0/subject"),
        ({"rule": "not-in-bathroom", "action": "keep"}, "no-such-finding", "/decisions/0/rule"),
    ],
)
def test_a_decision_that_cannot_be_taken_is_refused_with_its_place(decision, code, pointer):
    refusal = refused(violating(), decision)
    assert refusal.problem.code == "unreadable-request"
    assert [(e.code, e.pointer) for e in refusal.errors] == [(code, pointer)]
    assert refusal.errors[0].line == 1
    assert code in ERRORS


@pytest.mark.parametrize(
    "decision, told",
    [
        ({"rule": f"{VIOLATED}s"}, f"perhaps: {VIOLATED}."),
        ({"rule": VIOLATED, "subject": "/location"}, "has findings to decide on at /panelboard."),
        ({"rule": "not-in-bathroom"}, "this rule is satisfied."),
    ],
)
def test_a_decision_without_a_finding_is_told_what_there_is(decision, told):
    assert told in refused(violating(), {**decision, "action": "keep"}).errors[0].detail


def test_all_that_is_wrong_with_decisions_is_told_at_once():
    wrong = refused(violating(), {"rule": VIOLATED, "action": "drop"}, {"rule": "no", "action": "keep"}, 7)
    assert [e.pointer for e in wrong.errors] == ["/decisions/0/text", "/decisions/1/rule", "/decisions/2"]


def test_two_decisions_on_the_same_finding_are_refused():
    decision = {"rule": VIOLATED, "action": "keep"}
    assert [e.code for e in refused(violating(), decision, decision).errors] == ["not-unique"]


def test_too_many_decisions_are_refused():
    many = [{"rule": VIOLATED, "action": "keep"}] * (MOST_DECISIONS + 1)
    assert refused(violating(), *many).errors[0].code == "too-many"


def test_decisions_belong_to_the_letter_alone():
    with pytest.raises(Refusal) as caught:
        made("circuit-directory", {"proposal": least(), "decisions": []})
    assert caught.value.errors[0].code == "unknown-member"


def test_an_error_in_the_proposal_is_placed_in_the_request():
    document = least()
    document["work"]["scope"] = "other"
    with pytest.raises(Refusal) as caught:
        made("inspection-checklist", {"proposal": document})
    assert caught.value.errors[0].pointer == "/proposal/work/scope"


# The fault-current marking


def test_the_marking_has_value_date_and_method():
    document = example("office-behind-transformer")
    text = made("fault-current-marking", document)
    current = SERVICE.calculate("fault-current", json.dumps(document).encode())["result"]["value"]
    label = section(text, "Marking")
    assert f"**{round(current):,} A**" in label
    applied_on = document["project"]["applied_on"]
    assert f"**Date of calculation:** {BLANK_LINE} (from the application of {applied_on})" in label
    assert "**Method:** calculated from a stated fault current" in label


def test_a_range_is_no_marking():
    label = section(made("fault-current-marking", example("half-known-dwelling")), "Marking")
    assert f"**{BLANK_LINE} A**" in label
    assert "The value is left blank" in label
    assert "/supply/source/impedance_percent" in label
    assert f"**Method:** {BLANK_LINE}" in label


def test_the_date_is_blank_where_none_is_stated():
    document = example("office-behind-transformer")
    del document["project"]["applied_on"]
    assert f"**Date of calculation:** {BLANK_LINE}\n" in made("fault-current-marking", document)


def test_the_sheet_shows_the_steps():
    text = made("fault-current-marking", example("office-behind-transformer"))
    assert "definition of percent impedance" in section(text, "Calculation: available fault current at the panelboard")


# The circuit directory


def test_the_directory_has_odd_circuits_left_and_even_ones_right():
    rows = [line for line in made("circuit-directory", example("dwelling-service")).splitlines() if line[:2] == "| "]
    cells = [[cell.strip() for cell in row.strip("|").split("|")] for row in rows[2:]]
    assert cells[0] == ["kitchen range", "50 A, 2-pole", "1", "2", "30 A, 2-pole", "water heater in the hall cupboard"]
    assert [int(row[2]) for row in cells] == list(range(1, 43, 2))
    assert [int(row[3]) for row in cells] == list(range(2, 44, 2))
    assert cells[1][0] == cells[1][5] == '"'
    assert cells[-1] == ["", "", "41", "42", "", ""]


def test_poles_span_rows_in_html():
    tree = html_tree(made("circuit-directory", example("dwelling-service"), "text/html"))
    table = next(e for e in elements(tree) if tag(e) == "table")
    width = {}
    for place, row in enumerate(e for e in elements(table) if tag(e) == "tr"):
        for cell in row:
            for below in range(int(cell.attrib.get("rowspan", 1))):
                width[place + below] = width.get(place + below, 0) + 1
    assert set(width.values()) == {6}
    assert set(width) == set(range(22))


def test_what_a_circuit_serves_is_blank_where_it_is_not_stated():
    document = example("dwelling-service")
    del document["panelboard"]["circuits"][0]["serves"]
    del document["panelboard"]["circuits"][1]["breaker"]["rating"]
    text = made("circuit-directory", document)
    assert f"| {BLANK_LINE} | 50 A, 2-pole | 1 |" in text
    assert f"{BLANK_LINE} A, 2-pole | water heater" in text


def test_circuits_in_the_same_position_are_pointed_out():
    document = example("dwelling-service")
    document["panelboard"]["circuits"][0]["poles"] = 3
    text = made("circuit-directory", document)
    assert "More than one circuit is stated for position 5" in text


def test_unstated_circuits_leave_an_empty_directory():
    document = example("dwelling-service")
    del document["panelboard"]["circuits"]
    text = made("circuit-directory", document)
    assert "does not state the circuits" in text
    assert "|  |  | 1 | 2 |  |  |" in text


# The request for a field evaluation


def test_the_request_has_the_facts_and_blanks_for_makers():
    text = made("field-evaluation-request", example("dwelling-service"))
    for words in (
        "available fault current of at least **5,637 A**",
        f"**Maker:** {BLANK_LINE}",
        "**Short-circuit current rating:** 10,000 A",
        "**Kind:** existing",
    ):
        assert words in text


def test_the_request_names_the_documents():
    document = example("dwelling-service")
    text = section(made("field-evaluation-request", document), "Documents named")
    for entry in document["documents"]:
        assert entry["title"] in text_of(markdown_tree(text))


def test_the_request_has_no_fault_current_where_there_is_only_a_range():
    text = made("field-evaluation-request", example("half-known-dwelling"))
    assert f"at least {BLANK_LINE} A" in text
    assert "one number is needed" in text


# The inspection checklist


def test_the_checklist_has_all_that_is_open_arranged_unstated_or_declared():
    document = violating()
    report = SERVICE.validate(json.dumps(document).encode())
    text = made("inspection-checklist", document)
    shown = text_of(markdown_tree(text))
    for one in report.findings:
        outcome, advice = one.outcome.value, one.advice.value if one.advice else None
        if advice == "inspection" or (outcome == "satisfied" and one.basis.value == "declared"):
            assert listed(one.message) in shown, one.rule
        if outcome in {"violation", "undetermined"}:
            assert one.title in text_of(markdown_tree(section(text, "Open in the plan review")))
    for condition in report.conditions:
        assert condition in text_of(markdown_tree(section(text, "Before the equipment is energized")))


def test_every_item_of_the_checklist_can_be_ticked():
    tree = html_tree(made("inspection-checklist", example("half-known-dwelling"), "text/html"))
    lists = [e for e in elements(tree) if e.attrib.get("class") == "checks"]
    assert lists
    for entries in lists:
        for entry in entries:
            assert entry[0].attrib["class"] == "tick"
