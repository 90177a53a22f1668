"""Generated requests against the description: whatever is sent, the answer is one that is described."""

import json

import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance

from changeout.application.service import Service
from changeout.web.app import create_app
from changeout.web.settings import Settings

BEYOND_A_SCHEMA = {
    "out-of-range",
    "not-unique",
    "no-such-document",
    "no-such-jurisdiction",
    "no-edition",
    "before-first-adoption",
    "contradiction",
    "bad-patch",
    "not-in-list",
}
"""What is wrong with a document that its JSON Schema cannot tell."""


@schemathesis.serializer("application/x-ndjson")
def as_lines(_context, value):
    return value.encode() if isinstance(value, str) else json.dumps(value).encode()


schema = schemathesis.openapi.from_wsgi("/openapi.json", create_app(Settings(), Service.load()))


EMBEDDING = "^/v1/(what-if|comparisons|decision-diffs|documents)"
"""Operations that take a proposal within their request: each way to vary a proposal is tried where it stands alone."""


def choices(examples, *phases):
    return settings(
        max_examples=examples,
        deadline=None,
        phases=phases,
        suppress_health_check=list(HealthCheck),
        derandomize=True,
        database=None,
    )


@schema.exclude(path_regex=EMBEDDING).parametrize()
@choices(8, Phase.explicit, Phase.generate)
def test_every_answer_is_described(case):
    check(case)


@schema.include(path_regex=EMBEDDING).parametrize()
@choices(4, Phase.generate)
def test_every_answer_to_a_request_around_a_proposal_is_described(case):
    check(case)


def check(case):
    response = case.call()
    # A batch takes any lines: what is wrong with one is told in its own answer.
    by_line = [negative_data_rejection] if case.media_type == "application/x-ndjson" else []
    case.validate_response(response, excluded_checks=[positive_data_acceptance, *by_line])
    if case.meta.generation.mode is GenerationMode.POSITIVE and response.status_code >= 400:
        errors = [(error["pointer"], error["code"]) for error in response.json().get("errors", [])]
        # Which kind of document takes decisions is said in words: a schema of the body does not see the path.
        codes = {code for pointer, code in errors if (pointer, code) != ("/decisions", "unknown-member")}
        # An id that leads nowhere fits its description: the description lists neither rules nor pages.
        assert codes <= BEYOND_A_SCHEMA if response.status_code == 422 else response.status_code == 404, response.text
