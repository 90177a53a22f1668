"""One handler for each operation: thin, from a checked call to an answer."""

from __future__ import annotations

from typing import Final

from changeout.application import compare as comparisons
from changeout.application import decision_diff as diffs
from changeout.application import what_if as trials
from changeout.application.documents import make_document
from changeout.application.judgement import judge
from changeout.application.published_schema import published_schema
from changeout.application.reports import REPORT_FORMS
from changeout.domain.problems import Refusal
from changeout.render.problem_json import problem_object
from changeout.render.report_json import report_bytes
from changeout.render.report_schema import report_schema
from changeout.web import pages
from changeout.web.batch import answers
from changeout.web.call import Answer, Call, Judged, json_bytes
from changeout.web.metrics import TEXT_FORMAT
from changeout.web.problems import as_refusal

SCHEMA_JSON: Final = "application/schema+json"


def validate(call: Call) -> Answer:
    """Answer with the report on the proposal in the body."""
    judged = judge(call.service, call.body, edition=call.query.get("edition"), detail=call.query.get("detail", "full"))
    return Answer(
        body=REPORT_FORMS[call.media_type](judged),
        media_type=call.media_type,
        judged=Judged(report=judged.report),
    )


def validate_batch(call: Call) -> Answer:
    """Answer with a report or a problem for each line of the body, as they are made."""
    meters = call.site.meters

    def judged(line: bytes) -> bytes:
        with call.site.gate.passed_in_turn():
            report = call.service.validate(
                line, edition=call.query.get("edition"), detail=call.query.get("detail", "full")
            )
        meters.count(report)
        return report_bytes(report)

    def refused(fault: Exception) -> bytes:
        refusal = as_refusal(fault, call.request_id)
        meters.refusals.labels(refusal.problem.code).inc()
        return json_bytes(problem_object(refusal)).rstrip(b"\n")

    return Answer(body=answers(iter(call.lines), judged, refused, call.site.batch_lines), media_type=call.media_type)


def what_if(call: Call) -> Answer:
    """Answer with what a patch or a sweep would change."""
    return Answer(body=json_bytes(trials.what_if(call.service, call.body)))


def compare(call: Call) -> Answer:
    """Answer with a proposal under several rulesets, side by side."""
    return Answer(body=json_bytes(comparisons.compare(call.service, call.body)))


def decision_diff(call: Call) -> Answer:
    """Answer with what became of a project between two submissions."""
    return Answer(body=json_bytes(diffs.decision_diff(call.service, call.body)))


def calculate(call: Call) -> Answer:
    """Answer with one calculation from the proposal in the body, with its steps."""
    result = call.service.calculate(call.path["kind"], call.body, edition=call.query.get("edition"))
    return Answer(body=json_bytes(result))


def document(call: Call) -> Answer:
    """Answer with a document made from a proposal."""
    made = make_document(call.service, call.path["kind"], call.body, call.media_type, edition=call.query.get("edition"))
    return Answer(body=made, media_type=call.media_type)


def editions(call: Call) -> Answer:
    """Answer with the names of the editions."""
    return Answer(body=json_bytes({"editions": list(call.service.editions())}))


def edition(call: Call) -> Answer:
    """Answer with one edition's ruleset."""
    return Answer(body=json_bytes(call.service.edition(call.path["edition"])))


def rule(call: Call) -> Answer:
    """Answer with one rule as an edition has it.

    Raises:
        Refusal: ``not-found`` if the edition has no such rule.
    """
    name = call.path["rule"]
    try:
        found = call.service.rule(call.path["edition"], name)
    except KeyError as unknown:
        if unknown.args != (name,):
            raise
        raise Refusal("not-found", f"Edition {call.path['edition']} has no rule {name!r}.") from None
    return Answer(body=json_bytes(found))


def changes(call: Call) -> Answer:
    """Answer with what changed between two editions, rule by rule."""
    return Answer(body=json_bytes(call.service.changes(call.path["edition"], call.query["since"])))


def jurisdictions(call: Call) -> Answer:
    """Answer with the local rulesets."""
    return Answer(body=json_bytes({"jurisdictions": call.service.jurisdictions()}))


def jurisdiction(call: Call) -> Answer:
    """Answer with one local ruleset."""
    return Answer(body=json_bytes(call.service.jurisdiction(call.path["jurisdiction"])))


def examples(call: Call) -> Answer:
    """Answer with the names of the example proposals."""
    return Answer(body=json_bytes({"examples": list(call.service.examples())}))


def example(call: Call) -> Answer:
    """Answer with one example proposal, byte for byte."""
    return Answer(body=call.service.example(call.path["example"]))


def schema_of_proposals(call: Call) -> Answer:
    """Answer with the JSON Schema of proposals."""
    return Answer(body=json_bytes(published_schema()), media_type=call.media_type)


def schema_of_reports(call: Call) -> Answer:
    """Answer with the JSON Schema of reports."""
    return Answer(body=json_bytes(report_schema()), media_type=call.media_type)


def openapi(call: Call) -> Answer:
    """Answer with the OpenAPI document."""
    return Answer(body=call.site.openapi)


def docs(call: Call) -> Answer:
    """Answer with the page on which the interface can be read and tried."""
    return Answer(body=pages.page(""), media_type=call.media_type)


def docs_page(call: Call) -> Answer:
    """Answer with one page of the documentation.

    Raises:
        Refusal: ``not-found`` if there is no such page.
    """
    name = call.path["page"]
    if name not in pages.titles():
        raise Refusal("not-found", f"There is no page {name!r}; /docs lists them.")
    return Answer(body=pages.page(name), media_type=call.media_type)


def live(_: Call) -> Answer:
    """Answer that the process runs."""
    return Answer(body=json_bytes({"status": "live"}))


def ready(call: Call) -> Answer:
    """Answer that the rulesets are loaded and which they are."""
    state = {"status": "ready", "editions": list(call.service.editions()), "ruleset": call.service.digest}
    return Answer(body=json_bytes(state))


def metrics(call: Call) -> Answer:
    """Answer with the meters."""
    return Answer(body=call.site.meters.text(), media_type=TEXT_FORMAT)
