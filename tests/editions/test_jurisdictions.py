"""Local rulesets: which edition from which date, what an amendment does, and how a bad file is refused.

The jurisdictions are invented; the patterns (postponing a section, putting a former text back, ninety days to the
permit) are those of adopting ordinances: NEC adoption notices of several states, read in part.
"""

import json
from importlib import resources

import pytest

from changeout.application.service import Service
from changeout.domain.problems import Refusal
from changeout.editions.jurisdiction_files import load_jurisdictions, read_jurisdiction
from changeout.editions.load import load_editions
from changeout.editions.rows import RulesetError
from changeout.intake.members import member_values
from changeout.render.report_json import report_object

HEAD = """\
[jurisdiction]
id = "demo-test-town"
name = "Test Town"

[[adoption]]
edition = "2017"
from = 2019-01-01
event = "application-filed"
reference = "resolution 1"
source = "invented"

[[adoption]]
edition = "2020"
from = 2022-01-01
event = "application-filed"
grace_days = 90
reference = "resolution 2"
source = "invented"
"""


@pytest.fixture(scope="module")
def service():
    return Service.load()


def proposal(service, start="dwelling-service", *, edition=None, **project):
    document = json.loads(service.example(start))
    document["project"].pop("edition", None)
    if edition:
        document["project"]["edition"] = edition
    document["project"].update(project)
    return document


def report(service, document):
    return report_object(service.validate(json.dumps(document).encode()))


def finding(report, rule):
    return next(f for f in report["findings"] if f["rule"] == rule)


@pytest.mark.parametrize(
    "day,edition",
    [
        ("2018-07-01", "2017"),
        ("2021-06-30", "2017"),
        ("2021-07-01", "2020"),
        ("2025-06-30", "2020"),
        ("2025-07-01", "2023"),
    ],
)
def test_the_application_date_decides(service, day, edition):
    found = report(service, proposal(service, jurisdiction="demo-harbor-county", applied_on=day))
    assert found["project"]["edition"] == edition
    assert finding(found, "edition-in-force-on-application-date")["outcome"] == "satisfied"


def test_the_day_before_the_first_adoption_is_refused_and_says_so(service):
    with pytest.raises(Refusal) as caught:
        report(service, proposal(service, jurisdiction="demo-harbor-county", applied_on="2018-06-30"))
    (error,) = caught.value.errors
    assert (error.code, error.pointer) == ("before-first-adoption", "/project/applied_on")
    assert "2018-07-01" in error.detail


def test_an_unknown_jurisdiction_is_refused(service):
    with pytest.raises(Refusal) as caught:
        report(service, proposal(service, jurisdiction="demo-nowhere", applied_on="2026-01-01"))
    assert caught.value.errors[0].code == "no-such-jurisdiction"


def test_an_edition_stated_against_the_one_in_force_is_a_violation(service):
    found = report(
        service, proposal(service, jurisdiction="demo-harbor-county", applied_on="2026-01-05", edition="2020")
    )
    answer = finding(found, "edition-in-force-on-application-date")
    assert answer["outcome"] == "violation"
    assert "2020" in answer["message"]
    assert "2023" in answer["message"]


@pytest.mark.parametrize("issued,edition", [("2025-09-29", "2020"), ("2025-09-30", "2023")])
def test_grace_days_count_to_the_permit(service, issued, edition):
    # Filed before 2025-07-01; that day and ninety days more is 2025-09-29, counted on a calendar.
    document = proposal(service, jurisdiction="demo-harbor-county", applied_on="2025-06-20", permit_issued_on=issued)
    assert report(service, document)["project"]["edition"] == edition


def test_a_permit_issued_counts_where_the_adoption_says_so(service):
    early = proposal(
        service, jurisdiction="demo-saltmarsh-township", applied_on="2024-12-01", permit_issued_on="2024-12-31"
    )
    late = proposal(
        service, jurisdiction="demo-saltmarsh-township", applied_on="2024-12-01", permit_issued_on="2025-01-01"
    )
    assert report(service, early)["project"]["edition"] == "2017"
    assert report(service, late)["project"]["edition"] == "2020"


def test_an_amendment_replaces_a_parameter_and_says_whose_it_is(service):
    # 36 in of depth is the base edition's least depth; Harbor County's is 42 in.
    document = proposal(service, jurisdiction="demo-harbor-county", applied_on="2026-01-05")
    document["location"]["working_space"]["depth"] = "36 in"
    answer = finding(report(service, document), "working-space-depth")
    assert (answer["outcome"], answer["required"]["value"]) == ("violation", 42)
    assert answer["reference"]["local"] == "demo-harbor-county"


def test_a_removed_rule_says_by_which_text(service):
    document = proposal(
        service, jurisdiction="demo-saltmarsh-township", applied_on="2025-06-01", permit_issued_on="2025-06-20"
    )
    found = report(service, document)
    answer = finding(found, "ground-fault-protection-outdoor-outlets")
    assert answer["outcome"] == "not-applicable"
    assert "schedule B" in answer["message"]


def test_a_dated_amendment_ends(service):
    during = proposal(service, jurisdiction="demo-saltmarsh-township", applied_on="2027-12-31")
    after = proposal(service, jurisdiction="demo-saltmarsh-township", applied_on="2028-01-01")
    rule = "dwelling-service-disconnect-outdoors"
    assert finding(report(service, during), rule)["outcome"] == "not-applicable"
    assert finding(report(service, after), rule)["outcome"] != "not-applicable"


def test_a_requirement_of_its_own_is_asked_where_its_conditions_hold(service):
    rule = "harbor-county-load-record-with-measured-demand"
    document = proposal(service, jurisdiction="demo-harbor-county", applied_on="2026-01-05")
    assert finding(report(service, document), rule)["outcome"] == "not-applicable"
    document["load"] = {
        "method": "measured-demand",
        "maximum_demand": "20 kVA",
        "added_load": "1 kVA",
        "demand_record": "one-year",
    }
    assert finding(report(service, document), rule)["outcome"] == "violation"
    document["documents"].append(
        {"id": "peak", "kind": "load-record", "title": "demand of a year", "dated": "2026-01-02"}
    )
    assert finding(report(service, document), rule)["outcome"] == "satisfied"


def test_a_published_ceiling_bounds_what_is_not_stated(service):
    document = proposal(service, jurisdiction="demo-harbor-county", applied_on="2026-01-05")
    document["supply"].pop("source")
    found = report(service, document)
    calculation = next(c for c in found["calculations"] if c["id"] == "fault-current")
    assert calculation["result"]["high"] <= 21000
    assert any("Harbor Light Cooperative" in a for a in calculation["assumptions"])
    without = proposal(service, edition="2023")
    without["supply"].pop("source")
    bare = next(c for c in report(service, without)["calculations"] if c["id"] == "fault-current")
    # Without the ceiling, conductors alone limit the current: more of it can come.
    assert bare["result"]["high"] > calculation["result"]["high"]


def read(text):
    return read_jurisdiction("town.toml", text, load_editions(), member_values())


def test_a_good_file_is_read():
    assert [a.edition for a in read(HEAD).adoptions] == ["2017", "2020"]


AMENDMENT = '\n[[amendment]]\nrule = "working-space-width"\neditions = ["2020"]\naction = "{}"\nreference = "r"\nsource = "invented"\n'


@pytest.mark.parametrize(
    "text,says",
    [
        (HEAD.replace('id = "demo-test-town"\n', ""), "the key id is missing"),
        (HEAD.replace('edition = "2020"', 'edition = "2021"'), "edition must be one of"),
        (HEAD.replace("from = 2022-01-01", 'from = "2022-01-01"'), "without quotation marks"),
        (HEAD.replace("from = 2022-01-01", "from = 2018-01-01"), "follow each other in time"),
        (HEAD.replace('event = "application-filed"', 'event = "inspection"', 1), "event must be one of"),
        (HEAD.replace("grace_days = 90", "grace_days = -1"), "grace_days a count of days"),
        (HEAD.replace("[[adoption]]", "[[adoptions]]"), "adoptions: unknown table"),
        (HEAD + AMENDMENT.format("abolish"), "action must be one of"),
        (HEAD + AMENDMENT.format("replace"), "needs parameters"),
        (HEAD + AMENDMENT.format("remove").replace("working-space-width", "no-such-rule"), "no rule is called"),
        (
            HEAD + AMENDMENT.format("replace") + 'parameters = { min_in = { value = 3, unit = "ft" } }\n',
            "must have the unit in",
        ),
        (
            HEAD + AMENDMENT.format("replace") + 'parameters = { most_in = { value = 3, unit = "in" } }\n',
            "has no parameter most_in",
        ),
        (
            HEAD + AMENDMENT.format("tighten") + 'parameters = { min_in = { value = 36, unit = "in" } }\n',
            "stricter must say",
        ),
        (
            HEAD
            + AMENDMENT.format("tighten")
            + 'stricter = { min_in = "higher" }\nparameters = { min_in = { value = 24, unit = "in" } }\n',
            "is not stricter",
        ),
        (
            HEAD
            + '\n[[ceiling]]\ngreatest_fault_current_a = 1000\nwhen = [{ member = "/no/such", equals = true }]\nreference = "r"\nsource = "s"\n',
            "the proposal has no member /no/such",
        ),
        (HEAD + '\n[[ceiling]]\ngreatest_fault_current_a = 0\nreference = "r"\nsource = "s"\n', "above zero"),
        (HEAD.replace("[jurisdiction]", "[jurisdiction"), "not TOML"),
    ],
)
def test_a_bad_file_is_refused_with_its_name_and_reason(text, says):
    with pytest.raises(RulesetError, match=says) as caught:
        read(text)
    assert caught.value.file == "town.toml"


SHIPPED = (resources.files("changeout.editions") / "local/demo-harbor-county.toml").read_text("utf-8")


@pytest.mark.parametrize(
    "found,instead,line,says",
    [
        ('rule = "working-space-depth"', 'rule = "working-space-deep"', 31, "no rule is called"),
        ("low_voltage_depth_in", "low_depth_in", 34, "has no parameter low_depth_in"),
        ('unit = "in"', 'unit = "ft"', 34, "must have the unit in"),
        ("[42, 42, 42]", "42", 34, "of another kind"),
        ('"lower"', '"higher"', 42, "is not stricter"),
        ('"guest-rooms", ', '"guestrooms", ', 59, "occupancies must list some of"),
        ("from = 2021-07-01", "from = 2017-07-01", 17, "follow each other in time"),
        ("/load/method", "/load/methode", 70, "the proposal has no member"),
        ('equals = "measured-demand"', 'equals = "measured"', 70, "must be stated . dwelling-standard"),
        ('equals = "measured-demand"', "equals = true", 70, "must be stated"),
        ('equals = "measured-demand"', "at_least = 3", 70, "can be asked for equals, among, stated, not for at_least"),
        ('equals = "measured-demand"', 'stated = "yes"', 70, "must be true or false"),
        ('"two-family-dwelling"]', '"two-family"]', 79, "must be a list of one-family-dwelling"),
        ("at_most = 200", 'at_most = "200 A"', 79, "must be a number, in the base unit"),
        ("at_most = 200", 'equals = "200 A"', 79, "can be asked for at_least, at_most, stated, not for equals"),
    ],
)
def test_what_is_not_in_order_is_placed_at_its_line(found, instead, line, says):
    assert found in SHIPPED
    with pytest.raises(RulesetError, match=says) as caught:
        read(SHIPPED.replace(found, instead))
    assert caught.value.line == line


def test_a_list_whose_places_have_meanings_keeps_its_length(tmp_path):
    text = SHIPPED.replace("[42, 42, 42]", "[42]").replace("demo-harbor-county", "demo-short-list")
    (tmp_path / "short.toml").write_text(text, "utf-8")
    with pytest.raises(RulesetError, match="low_voltage_depth_in must be a list of three numbers"):
        Service.load(tmp_path)


def test_a_folder_joins_the_shipped_ones_and_an_id_is_taken_once(tmp_path):
    (tmp_path / "town.toml").write_text(HEAD, "utf-8")
    assert "demo-test-town" in load_jurisdictions(load_editions(), member_values(), tmp_path)
    (tmp_path / "twin.toml").write_text(HEAD, "utf-8")
    with pytest.raises(RulesetError, match="two local rulesets"):
        load_jurisdictions(load_editions(), member_values(), tmp_path)
    with pytest.raises(RulesetError, match="no such folder"):
        load_jurisdictions(load_editions(), member_values(), tmp_path / "missing")
