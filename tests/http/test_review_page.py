"""The review page as a plain form, without a script: everything that a reviewer does is a post or a link."""

import functools
import io
import itertools
import json
import re
from pathlib import Path
from urllib.parse import urlencode

import pytest

from changeout.intake.reader import MOST_BYTES
from changeout.web.app import create_app
from changeout.web.review_form import MOST_FORM_BYTES, MOST_PARTS
from changeout.web.settings import Settings
from render import reading
from render.hostile import HOSTILE, with_texts
from render.reading import elements, tag, text_of
from serving import exchange

REFUSED = Path(__file__).parents[2] / "fixtures" / "refused"
MULTIPART = "multipart/form-data"
TOKEN = "a-Token_of.length~32/0123456789+="
LETTER = "/review/documents/correction-letter"

html_tree = functools.lru_cache(maxsize=4)(reading.html_tree)


@pytest.fixture
def half_known(service):
    return service.example("half-known-dwelling").decode()


@pytest.fixture
def weak(service):
    """A proposal with a panelboard that is rated too low."""
    text = service.example("dwelling-service").decode()
    changed = text.replace('"short_circuit_rating": "10 kA"', '"short_circuit_rating": "5 kA"')
    assert changed != text
    return changed


@pytest.fixture
def post(client):
    def send(document, *, to="/review", **fields):
        sent = {"document": document, "edition": "", **fields}
        return client.post(to, data=sent, content_type=MULTIPART)

    return send


def plain(**fields):
    """The body of a form sent the other way, as bytes, and its media type."""
    return {"data": urlencode(fields).encode(), "content_type": "application/x-www-form-urlencoded"}


def by_id(tree, name):
    return next(e for e in elements(tree) if e.attrib.get("id") == name)


def document_of(response):
    """The document as the page has it, as a browser would send it again."""
    field = by_id(html_tree(response.text), "document")
    return "".join(field.itertext())


def heading(response):
    return text_of(by_id(html_tree(response.text), "verdict-title"))


def parts(response):
    """The title of each part that is shown, with the number beside it."""
    return [
        text_of(e)
        for e in elements(html_tree(response.text))
        if tag(e) == "h2" and e.attrib.get("id", "").endswith("-title")
    ]


class TestThePage:
    def test_it_begins_with_an_empty_form(self, client, service):
        response = client.get("/review")
        assert response.status_code == 200
        tree = html_tree(response.text)
        form = by_id(tree, "review")
        assert (form.attrib["method"], form.attrib["action"], form.attrib["enctype"]) == ("post", "/review", MULTIPART)
        assert document_of(response) == ""
        links = {e.attrib["href"] for e in elements(tree) if tag(e) == "a" and "example=" in e.attrib["href"]}
        assert links == {f"/review?example={name}" for name in service.examples()}

    def test_the_policy_lets_it_send_its_form_here_and_nothing_else(self, client):
        policy = client.get("/review").headers["Content-Security-Policy"]
        allowed = dict(one.strip().split(" ", 1) for one in policy.split(";"))
        assert allowed["default-src"] == "'none'"
        assert allowed["script-src"] == allowed["connect-src"] == allowed["form-action"] == "'self'"
        assert allowed["base-uri"] == allowed["frame-ancestors"] == "'none'"
        assert "unsafe" not in policy
        assert "http" not in policy

    def test_it_loads_nothing_from_another_host_and_holds_no_script_or_style(self, post, half_known):
        page = post(half_known, compare="1").text
        for element in elements(html_tree(page)):
            assert tag(element) not in {"iframe", "object", "embed", "base", "style"}
            for name, value in element.attrib.items():
                assert not name.startswith("on")
                assert name != "style"
                if name in {"href", "src", "action", "formaction"}:
                    assert value.startswith(("/", "#")), value
                    assert not value.startswith("//")
            if tag(element) == "script":
                assert element.attrib["src"] == "/docs/assets/review.js"
                assert not text_of(element)

    def test_its_files_are_served(self, client):
        page = client.get("/review").text
        found = re.findall(r'(?:href|src)="(/docs[^"]*)"', page)
        assert len(found) >= 5
        for address in found:
            assert client.get(address).status_code == 200, address

    def test_every_example_is_judged_into_a_page_without_a_parse_error(self, client, service):
        for name in service.examples():
            response = client.get(f"/review?example={name}")
            assert response.status_code == 200
            tree = html_tree(response.text)
            ids = [e.attrib["id"] for e in elements(tree) if "id" in e.attrib]
            assert len(ids) == len(set(ids)), name
            report = service.validate(service.example(name))
            assert heading(response) == report.headline

    def test_every_link_within_the_page_leads_to_something_on_it(self, post, half_known):
        tree = html_tree(post(half_known, compare="1", sweep="/supply/source/impedance_percent").text)
        ids = {e.attrib["id"] for e in elements(tree) if "id" in e.attrib}
        within = [e.attrib["href"] for e in elements(tree) if e.attrib.get("href", "").startswith("#")]
        assert len(within) > 100
        assert {link[1:] for link in within} <= ids
        for element in elements(tree):
            for name in ("for", "aria-labelledby", "aria-describedby"):
                for wanted in element.attrib.get(name, "").split():
                    assert wanted in ids, (tag(element), name, wanted)

    def test_headings_step_down_one_level_at_a_time(self, post, half_known):
        tree = html_tree(post(half_known, compare="1").text)
        levels = [int(tag(e)[1]) for e in elements(tree) if re.fullmatch("h[1-6]", tag(e))]
        assert levels[0] == 1
        assert levels.count(1) == 1
        for before, after in itertools.pairwise(levels):
            assert after <= before + 1

    def test_the_first_button_checks_since_that_is_what_the_enter_key_presses(self, post, half_known):
        changed = post(half_known, **{"answer:/supply/source/impedance_percent": "5"})
        for response in (changed, post("{"), post("")):
            first = next(e for e in elements(html_tree(response.text)) if tag(e) == "button")
            assert first.attrib["id"] == "check"

    def test_methods_are_told_and_parameters_checked(self, client):
        assert client.options("/review").headers["Allow"] == "GET, HEAD, OPTIONS, POST"
        assert client.options(LETTER).headers["Allow"] == "OPTIONS, POST"
        assert client.head("/review").data == b""
        assert client.get("/review?example=nothing").json["code"] == "bad-query"
        assert client.get("/review?x=1").status_code == 400
        assert client.post("/review?x=1").status_code == 400
        assert client.delete("/review").status_code == 405
        assert client.post("/review/documents/nothing").status_code == 404


class TestChecking:
    def test_both_ways_of_sending_a_form_give_the_same_page(self, client, half_known):
        sent = {"document": half_known}
        pages = {
            client.post("/review", data=sent, content_type=form).text
            for form in (MULTIPART, "application/x-www-form-urlencoded")
        }
        assert len(pages) == 1

    def test_lines_ended_as_a_browser_sends_them_are_the_same_lines(self, post, half_known):
        assert post(half_known.replace("\n", "\r\n")).text == post(half_known).text

    def test_a_picked_file_goes_before_the_field(self, client, half_known):
        sent = {"document": "{", "file": (io.BytesIO(half_known.encode()), "a.json")}
        response = client.post("/review", data=sent, content_type=MULTIPART)
        assert response.status_code == 200
        assert document_of(response) == half_known

    def test_parts_come_in_the_order_of_use(self, post, half_known):
        assert [re.sub(r" \d+$", "", part) for part in parts(post(half_known, compare="1"))] == [
            "Questions",
            "What cannot be told yet",
            "Further advice",
            "Editions side by side",
            "Pictures",
            "Cautions",
            "The document",
        ]

    def test_every_finding_can_be_reached(self, post, service, half_known):
        page = post(half_known).text
        shown = text_of(html_tree(page))
        for place, finding in enumerate(service.validate(half_known.encode()).findings):
            if finding.outcome.value == "not-applicable":
                assert finding.message in shown
            else:
                assert f'id="finding-{place}"' in page, finding.rule
                assert finding.title in shown

    def test_a_correction_has_section_numbers_remedy_and_lines(self, post, weak):
        tree = html_tree(post(weak).text)
        card = next(
            e for e in elements(tree) if "violation" in e.attrib.get("class", "").split() and tag(e) == "article"
        )
        told = text_of(card)
        assert "2023, 408.6" in told
        assert "5,000 A (short-circuit current rating of the panelboard)" in told
        assert "at least" in told
        assert "Ways to correct" in told
        line = next(n for n, text in enumerate(weak.split("\n"), 1) if '"5 kA"' in text)
        assert [e for e in elements(card) if e.attrib.get("href") == f"#line-{line}"]

    def test_a_line_leads_back_to_the_gravest_finding_that_rests_on_it(self, post, weak):
        tree = html_tree(post(weak).text)
        line = next(n for n, text in enumerate(weak.split("\n"), 1) if '"5 kA"' in text)
        stands = by_id(tree, f"line-{line}")
        assert '"5 kA"' in text_of(stands)
        back = next(e for e in elements(stands) if tag(e) == "a")
        assert tag(by_id(tree, back.attrib["href"][1:])) == "article"
        assert "violation" in by_id(tree, back.attrib["href"][1:]).attrib["class"]

    def test_the_document_is_shown_line_by_line_as_it_was_sent(self, post, half_known):
        tree = html_tree(post(half_known).text)
        for number, line in enumerate(half_known.split("\n"), 1):
            code = next(e for e in elements(by_id(tree, f"line-{number}")) if tag(e) == "code")
            assert "".join(code.itertext()) == line

    def test_a_document_in_one_long_line_is_laid_out_anew_and_said_to_be(self, post, half_known):
        response = post(json.dumps(json.loads(half_known)))
        assert "laid out anew" in response.text
        assert document_of(response) == json.dumps(json.loads(half_known), indent=2)

    def test_an_edition_chosen_overrides_and_stays_chosen(self, post, half_known):
        response = post(half_known, edition="2017")
        assert "edition 2017" in text_of(by_id(html_tree(response.text), "verdict"))
        assert '<option value="2017" selected>' in response.text

    def test_a_jurisdiction_chosen_is_written_into_the_document(self, post, half_known):
        response = post(half_known, jurisdiction="demo-harbor-county", jurisdiction_was="")
        project = json.loads(document_of(response))["project"]
        assert project["jurisdiction"] == "demo-harbor-county"
        assert "demo-harbor-county" in text_of(by_id(html_tree(response.text), "verdict"))
        again = post(document_of(response), jurisdiction="", jurisdiction_was="demo-harbor-county")
        assert json.loads(document_of(again))["project"]["jurisdiction"] is None

    def test_a_jurisdiction_chosen_can_make_a_document_readable(self, post, half_known):
        document = half_known.replace('    "edition": "2023",\n', "")
        assert post(document).status_code == 422
        response = post(document, jurisdiction="demo-harbor-county", jurisdiction_was="")
        assert response.status_code == 200
        assert "edition 2023" in text_of(by_id(html_tree(response.text), "verdict"))

    def test_a_jurisdiction_that_has_no_edition_yet_is_refused_with_the_reason(self, post, half_known):
        document = half_known.replace('    "edition": "2023",\n', "").replace("2026-03-23", "2001-01-01")
        response = post(document, jurisdiction="demo-harbor-county", jurisdiction_was="")
        assert response.status_code == 422
        assert document_of(response) == document

    def test_editions_stand_side_by_side(self, client, post, half_known):
        tree = html_tree(post(half_known, compare="1").text)
        told = text_of(by_id(tree, "side-by-side"))
        compared = client.post("/v1/comparisons", json={"proposal": json.loads(half_known)}).json
        for side in compared["sides"]:
            assert side["label"] in told
            assert str(side["counts"]["undetermined"]) in told
        for difference in compared["differences"]:
            assert difference["title"] in told


class TestWhatCannotBeRead:
    @pytest.mark.parametrize("name", [problem.name.partition(".")[0] for problem in REFUSED.glob("*.problem.json")])
    def test_every_refused_document_comes_back_with_its_reasons_at_their_lines(self, client, name):
        body = (REFUSED / f"{name}.json").read_bytes()
        expected = json.loads((REFUSED / f"{name}.problem.json").read_text())
        refused = client.post("/v1/validations", data=body, content_type="application/json")
        sent = {"file": (io.BytesIO(body), "a.json")}
        response = client.post("/review", data=sent, content_type=MULTIPART)
        assert response.mimetype == "text/html"
        if body:
            assert response.status_code == refused.status_code == expected["status"]
        page = response.text
        assert refused.json["title"] in page or not body
        if max(map(len, body.decode("utf-8", "replace").split("\n"))) <= 300:
            tree = html_tree(re.sub("[\ud800-\udfff\ufffe\uffff]", "", page))
            for error in refused.json.get("errors", []):
                if error["line"] and body:
                    assert error["detail"] in text_of(by_id(tree, f"line-{error['line']}"))

    def test_nothing_sent_is_told_as_such(self, post):
        response = post("")
        assert response.status_code == 400
        assert "No body" in response.text

    def test_a_suggestion_is_shown(self, post, half_known):
        response = post(half_known.replace('"36 in"', '"36in"'))
        assert response.status_code == 422
        assert "Perhaps 36 in?" in text_of(by_id(html_tree(response.text), "refused"))


class TestAnswering:
    IMPEDANCE = "/supply/source/impedance_percent"

    def test_an_answer_is_written_where_it_belongs_and_other_lines_stay(self, post, service, half_known):
        response = post(half_known, **{f"answer:{self.IMPEDANCE}": "5"})
        assert response.status_code == 200
        before, after = half_known.split("\n"), document_of(response).split("\n")
        assert [line for line in after if line not in before] == [
            '      "upstream": { "kind": "unlimited" },',
            '      "impedance_percent": 5',
        ]
        assert len(after) == len(before) + 1
        assert heading(response) == service.validate(document_of(response).encode()).headline
        assert heading(response) != service.validate(half_known.encode()).headline
        assert "Transformer impedance: 5" in text_of(by_id(html_tree(response.text), "changed"))

    def test_several_answers_of_every_kind_at_once(self, post, half_known):
        response = post(
            half_known,
            **{
                f"answer:{self.IMPEDANCE}": "5",
                "answer:/supply/runs/0/length": "80 ft",
                "answer:/supply/carries_entire_dwelling_load": "yes",
                "answer:/panelboard/circuits/0/conductor/size": "8 AWG",
                "answer:/generation": "none",
                "answer:/panelboard/marked_maximum_poles": "42",
                "answer:/enclosure/former_listing_marks": "",
            },
        )
        document = json.loads(document_of(response))
        assert document["supply"]["source"]["impedance_percent"] == 5
        assert document["supply"]["runs"][0]["length"] == "80 ft"
        assert document["supply"]["carries_entire_dwelling_load"] is True
        assert document["panelboard"]["circuits"][0]["conductor"] == {"size": "8 AWG"}
        assert document["generation"] == []
        assert document["panelboard"]["marked_maximum_poles"] == 42
        assert "former_listing_marks" not in document["enclosure"]

    def test_words_of_a_list_are_ticked(self, post, half_known):
        document = half_known.replace('"conditions": ["dry"],', "")
        response = post(document, **{"answer:/location/conditions": ["damp", "dry"]})
        assert json.loads(document_of(response))["location"]["conditions"] == ["dry", "damp"]

    def test_an_answer_that_cannot_be_taken_is_told_and_the_others_are_taken(self, post, half_known):
        response = post(
            half_known, **{f"answer:{self.IMPEDANCE}": "5", "answer:/location/working_space/width": "30inches"}
        )
        assert response.status_code == 422
        document = json.loads(document_of(response))
        assert document["supply"]["source"]["impedance_percent"] == 5
        assert "width" not in document["location"]["working_space"]
        tree = html_tree(response.text)
        assert "Perhaps 30 in?" in text_of(by_id(tree, "changed"))
        field = next(e for e in elements(tree) if e.attrib.get("name") == "answer:/location/working_space/width")
        assert field.attrib["value"] == "30inches"

    @pytest.mark.parametrize("pointer", ["/panelboard/circuits/99/conductor/size", "/nothing", "/changeout/x", ""])
    def test_an_answer_to_what_has_no_place_harms_nothing(self, post, half_known, pointer):
        response = post(half_known, **{f"answer:{pointer}": "8 AWG"})
        assert response.status_code == 422
        assert document_of(response) == half_known

    def test_the_last_change_can_be_taken_back(self, post, half_known):
        response = post(half_known, **{f"answer:{self.IMPEDANCE}": "5"})
        tree = html_tree(response.text)
        before = next(e for e in elements(tree) if e.attrib.get("name") == "before")
        assert "".join(before.itertext()) == half_known
        back = post(document_of(response), before="".join(before.itertext()), undo="1")
        assert document_of(back) == half_known

    def test_every_question_has_a_field_or_says_where_it_is_written(self, post, service, half_known):
        tree = html_tree(post(half_known).text)
        names = {e.attrib.get("name") for e in elements(tree)}
        for question in service.validate(half_known.encode()).questions:
            assert f"answer:{question.pointer}" in names or question.pointer in text_of(by_id(tree, "questions"))

    def test_values_on_both_sides_are_tried(self, client, post, service, half_known):
        asked = service.validate(half_known.encode()).questions
        threshold = next(q.threshold for q in asked if q.pointer == self.IMPEDANCE)
        tree = html_tree(post(half_known, sweep=self.IMPEDANCE).text)
        table = next(e for e in elements(by_id(tree, "sweep")) if tag(e) == "table")
        values = [text_of(e) for e in elements(table) if tag(e) == "th" and e.attrib.get("scope") == "col"][1:]
        flips = [text_of(e) for e in elements(table) if tag(e) == "th" and e.attrib.get("class") == "flip"]
        assert flips == [f"{threshold.value:g}"]
        row = next(e for e in elements(table) if tag(e) == "tr" and "short-circuit current rating" in text_of(e))
        told = [text_of(e).split(" ", 1)[-1] for e in elements(row) if tag(e) == "td"]
        assert len(told) == len(values)
        for value, said in zip(values, told, strict=True):
            changed = json.loads(half_known)
            changed["supply"]["source"]["impedance_percent"] = float(value)
            report = client.post("/v1/validations?detail=findings", json=changed).json
            rule = "short-circuit-rating-at-least-fault-current"
            outcome = next(f["outcome"] for f in report["findings"] if f["rule"] == rule)
            assert said.endswith({"undetermined": "open"}.get(outcome, outcome)), value

    def test_values_are_tried_of_a_question_only(self, post, half_known):
        assert 'id="sweep"' not in post(half_known, sweep="/panelboard/busbar_rating").text


class TestRemedies:
    def test_one_is_applied_and_the_report_made_anew(self, post, weak):
        tree = html_tree(post(weak).text)
        button = next(e for e in elements(tree) if e.attrib.get("name") == "apply")
        response = post(weak, apply=button.attrib["value"])
        assert response.status_code == 200
        assert "violation" not in heading(response)
        changed = [a for a, b in zip(document_of(response).split("\n"), weak.split("\n"), strict=True) if a != b]
        assert len(changed) == 1
        assert "Remedy applied" in text_of(by_id(html_tree(response.text), "changed"))

    @pytest.mark.parametrize(
        "patch",
        [
            "{",
            "[1]",
            "{}",
            '[{"op": "replace", "path": "/nothing/here", "value": 1}]',
            '[{"op": "replace", "path": "/panelboard/short_circuit_rating", "value": 5}]',
            '[{"op": "remove", "path": "/project"}]',
            '[{"op": "add", "path": 7}]',
        ],
    )
    def test_what_cannot_be_applied_is_told_and_changes_nothing(self, post, weak, patch):
        response = post(weak, apply=patch)
        assert 400 <= response.status_code < 500
        assert document_of(response) == weak
        assert by_id(html_tree(response.text), "refused") is not None

    def test_a_patch_that_moves_things_lays_the_document_out_anew(self, post, weak):
        patch = '[{"op": "move", "from": "/panelboard/circuits/1", "path": "/panelboard/circuits/0"}]'
        response = post(weak, apply=patch)
        assert response.status_code == 200
        sent, now = json.loads(weak), json.loads(document_of(response))
        assert [c["number"] for c in now["panelboard"]["circuits"][:2]] == [
            c["number"] for c in sent["panelboard"]["circuits"][1::-1]
        ]


class TestPapers:
    def test_every_document_comes_ready_to_print_with_the_policy_of_pages(self, post, half_known):
        tree = html_tree(post(half_known).text)
        found = [e.attrib["formaction"] for e in elements(tree) if "documents" in e.attrib.get("formaction", "")]
        assert len(found) == 6
        for address in found:
            response = post(half_known, to=address)
            assert response.status_code == 200
            html_tree(response.text)
            assert "form-action 'none'" in response.headers["Content-Security-Policy"]

    def test_the_letter_says_what_was_decided(self, post, weak):
        tree = html_tree(post(weak).text)
        name = next(e.attrib["name"] for e in elements(tree) if e.attrib.get("name", "").startswith("decide:"))
        assert "short-circuit-rating" in name
        why = name.replace("decide:", "why:")
        kept = post(weak, to=LETTER).text
        assert "Corrections" in kept
        dropped = post(weak, to=LETTER, **{name: "drop", why: "Another rating is on the nameplate."}).text
        assert "Dropped by the reviewer: Another rating is on the nameplate." in dropped
        assert "<h2>Corrections</h2>" not in dropped
        deferred = post(weak, to=LETTER, **{name: "defer"}).text
        assert "Deferred to the inspection by the reviewer." in deferred
        noted = post(weak, to=LETTER, **{name: "note", why: "See the nameplate."}).text
        assert "See the nameplate." in noted

    def test_a_reason_that_lacks_is_asked_for_and_nothing_is_lost(self, post, weak):
        tree = html_tree(post(weak).text)
        name = next(e.attrib["name"] for e in elements(tree) if e.attrib.get("name", "").startswith("decide:"))
        response = post(weak, to=LETTER, **{name: "drop"})
        assert response.status_code == 422
        told = text_of(by_id(html_tree(response.text), "refused"))
        assert "The panelboard's short-circuit current rating" in told
        assert document_of(response) == weak

    def test_what_is_decided_of_many_circuits_is_decided_by_whom_it_says(self, post, half_known):
        name = "decide:branch-breaker-interrupting-rating:undetermined:"
        assert f'name="{name}"' in post(half_known).text
        why = name.replace("decide:", "why:")
        letter = post(half_known, to=LETTER, **{name: "drop", why: "Seen on site.", "by": "the second reviewer"}).text
        assert "Dropped by the second reviewer: Seen on site." in letter

    def test_an_item_for_the_inspection_can_be_decided_on_too(self, post, half_known):
        tree = html_tree(post(half_known).text)
        names = [e.attrib.get("name", "") for e in elements(by_id(tree, "inspection"))]
        name = next(name for name in names if name.startswith("decide:"))
        noted = {name: "note", name.replace("decide:", "why:"): "Bring a mirror."}
        assert "Bring a mirror." in post(half_known, to=LETTER, **noted).text
        assert '<details class="deciding" open>' in post(half_known, **noted).text

    def test_a_waiver_can_be_refused(self, post, weak):
        waiver = (
            '"waivers": [{"rule": "short-circuit-rating-at-least-fault-current", "reason": "Replaced within the month.",'
            ' "granted_by": "authority having jurisdiction"}]'
        )
        waived = weak.replace('"changeout": 1,', f'"changeout": 1, {waiver},', 1)
        response = post(waived)
        assert "Without the waivers" in response.text
        tree = html_tree(response.text)
        name = next(e.attrib["name"] for e in elements(tree) if e.attrib.get("name", "").endswith(":violation:waived"))
        assert "<h2>Corrections</h2>" not in post(waived, to=LETTER).text
        assert "<h2>Corrections</h2>" in post(waived, to=LETTER, **{name: "keep"}).text

    def test_decisions_stay_chosen_when_the_document_is_checked_again(self, post, weak):
        tree = html_tree(post(weak).text)
        name = next(e.attrib["name"] for e in elements(tree) if e.attrib.get("name", "").startswith("decide:"))
        again = html_tree(post(weak, **{name: "note", name.replace("decide:", "why:"): 'a "note"'}).text)
        field = next(e for e in elements(again) if e.attrib.get("name") == name)
        chosen = [e.attrib["value"] for e in elements(field) if "selected" in e.attrib]
        assert chosen == ["note"]
        why = next(e for e in elements(again) if e.attrib.get("name") == name.replace("decide:", "why:"))
        assert why.attrib["value"] == 'a "note"'

    def test_what_cannot_be_read_gives_the_page_and_no_paper(self, post):
        response = post("{", to=LETTER)
        assert response.status_code == 400
        assert by_id(html_tree(response.text), "refused") is not None

    def test_an_answer_on_the_way_is_in_the_paper(self, post, weak):
        response = post(weak, to=LETTER, **{"answer:/panelboard/short_circuit_rating": "22 kA"})
        assert response.status_code == 200
        assert "asks for no correction" in response.text or "<h2>Corrections</h2>" not in response.text


class TestLimits:
    def test_a_document_over_the_limit_is_refused_as_a_page(self, client):
        response = client.post("/review", **plain(document=" " * (MOST_BYTES + 1)))
        assert response.status_code == 413
        assert response.mimetype == "text/html"

    def test_a_document_at_the_limit_is_read(self, client, half_known):
        filler = (" " * 99 + "\n") * (MOST_BYTES // 100 + 1)
        padded = half_known + filler[: MOST_BYTES - len(half_known.encode())]
        response = client.post("/review", **plain(document=padded))
        assert response.status_code == 200
        assert "further lines are not shown" in response.text

    def test_a_form_over_the_limit_is_refused(self, client):
        response = client.post("/review", **plain(document="x" * MOST_FORM_BYTES))
        assert response.status_code == 413
        assert response.mimetype == "text/html"

    def test_too_many_fields_are_refused(self, client):
        part = b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n1\r\n'
        body = part * (MOST_PARTS + 1) + b"--x--\r\n"
        response = client.post("/review", data=body, content_type=f"{MULTIPART}; boundary=x")
        assert response.status_code == 413

    @pytest.mark.parametrize("media_type", ["application/json", "text/plain", ""])
    def test_another_media_type_is_refused_as_a_page(self, client, media_type):
        response = client.post("/review", data=b"{}", content_type=media_type)
        assert response.status_code == 415
        assert response.mimetype == "text/html"

    @pytest.mark.parametrize("sent", [b"", b"--x", b"--x\r\n\r\n", b"document={}", b"\xff\xfe"])
    def test_a_broken_form_is_refused(self, client, sent):
        response = client.post("/review", data=sent, content_type=f"{MULTIPART}; boundary=x")
        assert response.status_code == 400
        assert response.mimetype == "text/html"

    def test_a_form_that_breaks_off_is_refused(self, served):
        head = b"POST /review HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\n"
        response = exchange(served.port, head + b"Content-Length: 100\r\n\r\ndocument=", half_close=True)
        assert response.status == 400

    def test_texts_made_to_break_out_stay_texts(self, client, service):
        document = with_texts(json.loads(service.example("office-behind-transformer")), HOSTILE)
        text = json.dumps(document, indent=1)
        response = client.post("/review", **plain(document=text))
        assert response.status_code == 200
        tree = html_tree(response.text)
        scripts = [e for e in elements(tree) if tag(e) in {"script", "img", "b"}]
        assert [tag(e) for e in scripts] == ["script"]
        assert document_of(response) == text

    def test_marks_that_turn_the_direction_are_spelled_out_in_the_listing(self, post, half_known):
        response = post(half_known.replace("Whelk", "Wh\u202eelk"))
        assert response.status_code == 422
        line = next(n for n, text in enumerate(half_known.split("\n"), 1) if "Whelk" in text)
        stands = by_id(html_tree(response.text), f"line-{line}")
        assert "Wh\\u202eelk" in text_of(stands)


class TestToken:
    @pytest.fixture
    def guarded(self, service):
        return create_app(Settings(token=TOKEN), service).test_client()

    def test_nothing_is_judged_without_it(self, guarded, half_known):
        for given in ({}, {"token": "x"}, {"token": "\xe9"}):
            for address in ("/review", LETTER):
                response = guarded.post(address, data={"document": half_known, **given}, content_type=MULTIPART)
                assert response.status_code == 401
                assert response.headers["WWW-Authenticate"].startswith("Bearer")
                assert document_of(response) == half_known
                assert 'id="verdict"' not in response.text

    def test_with_it_the_page_works_and_has_it_for_the_next_time(self, guarded, half_known):
        sent = {"document": half_known, "token": TOKEN}
        response = guarded.post("/review", data=sent, content_type=MULTIPART)
        assert response.status_code == 200
        field = by_id(html_tree(response.text), "token")
        assert (field.attrib["type"], field.attrib["value"]) == ("password", TOKEN)

    def test_an_example_is_shown_and_not_judged(self, guarded, service):
        response = guarded.get("/review?example=dwelling-service")
        assert response.status_code == 200
        assert document_of(response) == service.example("dwelling-service").decode()
        assert 'id="verdict"' not in response.text

    def test_a_page_without_a_token_has_no_field_for_one(self, client):
        assert 'id="token"' not in client.get("/review").text


def test_a_review_is_counted_and_logged_like_a_validation(served, service):
    body = plain(document=service.example("dwelling-service").decode())["data"]
    head = (
        b"POST /review HTTP/1.1\r\nHost: x\r\nX-Request-Id: a-review\r\nContent-Type: "
        b"application/x-www-form-urlencoded\r\nContent-Length: %d\r\n\r\n" % len(body)
    )
    assert exchange(served.port, head + body).status == 200
    line = next(line for line in served.log() if line["request_id"] == "a-review")
    report = service.validate(service.example("dwelling-service"))
    assert (line["route"], line["verdict"], line["decision_id"]) == ("/review", report.verdict, report.decision_id)


def test_what_is_too_busy_answers_with_the_page_and_when_to_come_back(service, half_known):
    app = create_app(Settings(at_once=1, waiting=0, patience_s=0.0), service)
    held = []

    class Holding:
        def __getattr__(self, name):
            return getattr(service, name)

        def report_on(self, *arguments, **options):
            if not held:
                held.append(app.test_client().post("/review", data={"document": half_known}, content_type=MULTIPART))
            return service.report_on(*arguments, **options)

    app = create_app(Settings(at_once=1, waiting=0, patience_s=0.0), Holding())
    assert app.test_client().post("/review", data={"document": half_known}, content_type=MULTIPART).status_code == 200
    assert held[0].status_code == 503
    assert held[0].headers["Retry-After"]
    assert document_of(held[0]) == half_known
