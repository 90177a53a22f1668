"""What all findings together amount to, their order, and the ids of a decision. Source: the interface's own words."""

import json
import subprocess
import sys

import pytest

from changeout.application.service import Service
from changeout.domain.findings import Advice, Answer, Effect, Judgement, Outcome, Reviewed, Stage
from changeout.domain.vocabulary import EDITIONS
from changeout.editions.rows import Row
from changeout.render.report_json import report_object
from changeout.review.outcomes import outcome_of

J = Judgement


@pytest.fixture(scope="module")
def service():
    return Service.load()


def row(*, in_force=True, effect=Effect.VIOLATION):
    return Row(
        rule="r",
        in_force=in_force,
        effect=effect,
        section="1",
        also=(),
        parameters={},
        source="s",
        reviewed=Reviewed.VERIFIED,
    )


@pytest.mark.parametrize(
    "judgement,expected",
    [
        (J.HOLDS, (Outcome.SATISFIED, None)),
        (J.FAILS, (Outcome.VIOLATION, None)),
        (J.UNKNOWN, (Outcome.UNDETERMINED, None)),
        (J.ARRANGED, (Outcome.CONDITIONAL, None)),
        (J.ADVISED, (Outcome.ADVISORY, Advice.PRACTICE)),
        (J.NOT_APPLICABLE, (Outcome.NOT_APPLICABLE, None)),
    ],
)
def test_a_row_in_force_at_intake(judgement, expected):
    assert outcome_of(row(), Stage.INTAKE, Answer(judgement=judgement, message="m"), completed=False) == expected


def test_an_unknown_at_inspection_holds_nothing():
    answer = Answer(judgement=J.UNKNOWN, message="m")
    assert outcome_of(row(), Stage.INSPECTION, answer, completed=False) == (Outcome.ADVISORY, Advice.INSPECTION)


def test_what_is_arranged_does_not_count_once_the_work_is_done():
    answer = Answer(judgement=J.ARRANGED, message="m")
    assert outcome_of(row(), Stage.INTAKE, answer, completed=True) == (Outcome.VIOLATION, None)


@pytest.mark.parametrize("made", [row(effect=Effect.ADVISORY), row(in_force=False, effect=Effect.ADVISORY)])
@pytest.mark.parametrize("judgement", [J.FAILS, J.UNKNOWN, J.ARRANGED])
def test_a_row_that_only_advises_never_holds_a_verdict(made, judgement):
    outcome, advice = outcome_of(made, Stage.INTAKE, Answer(judgement=judgement, message="m"), completed=True)
    assert (outcome, advice) == (Outcome.ADVISORY, Advice.PRACTICE)


def test_findings_come_in_the_fixed_order_and_every_rule_answers(service):
    order = [o.value for o in Outcome]
    for name in service.examples():
        for edition in EDITIONS:
            shown = report_object(service.validate(service.example(name), edition=edition))
            places = [order.index(f["outcome"]) for f in shown["findings"]]
            assert places == sorted(places)
            assert {f["rule"] for f in shown["findings"]} == set(service.rulesets[edition].edition.rows)
            assert sum(v for k, v in shown["counts"].items() if k != "waived") == len(shown["findings"])


def test_the_same_question_has_the_same_id_in_another_process(service):
    here = service.validate(service.example("shop-feeder")).decision_id
    code = (
        "from changeout.application.service import Service; s = Service.load(); "
        "print(s.validate(s.example('shop-feeder')).decision_id)"
    )
    there = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()
    assert here == there


def test_the_id_moves_with_the_edition_and_with_the_meaning_and_with_nothing_else(service):
    document = json.loads(service.example("shop-feeder"))

    def decided(**project):
        changed = {**document, "project": {**document["project"], **project}}
        return service.validate(json.dumps(changed).encode()).decision_id

    assert decided() == decided(reference="another", annotations={"permit": "7"})
    assert len({decided(edition=edition) for edition in EDITIONS}) == len(EDITIONS)
    document["panelboard"]["short_circuit_rating"] = "65 kA"
    assert decided() != service.validate(service.example("shop-feeder")).decision_id


def test_an_edition_that_is_a_preview_says_so(service):
    shown = report_object(service.validate(service.example("shop-feeder"), edition="2026"))
    assert shown["ruleset"]["preview"] is True
    assert "preview" in shown["cautions"][0]
    assert any("unverified row" in c for f in shown["findings"] for c in f["cautions"])


def test_findings_alone_have_no_questions_and_no_calculations(service):
    shown = report_object(service.validate(service.example("half-known-dwelling"), detail="findings"))
    assert "questions" not in shown
    assert "calculations" not in shown
    full = report_object(service.validate(service.example("half-known-dwelling")))
    assert [f["outcome"] for f in shown["findings"]] == [f["outcome"] for f in full["findings"]]


def test_the_first_question_settles_more_than_any_other(service):
    questions = report_object(service.validate(service.example("half-known-dwelling")))["questions"]
    assert questions[0]["settles"] == max(q["settles"] for q in questions) > 0
    assert [q["rank"] for q in questions] == list(range(1, len(questions) + 1))
