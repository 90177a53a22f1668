"""The reviewer's flows in a real browser: with keys, with the mouse, with files, on every screen, on paper."""

import json
import re

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from changeout.web.pages import assets

IMPEDANCE = "answer:/supply/source/impedance_percent"
SYSTEM = '"system"'
DEPTH = '"depth"'
SWEEP = "button[name=sweep][value='/supply/source/impedance_percent']"


@pytest.fixture(scope="module")
def half_known(examples):
    return examples.example("half-known-dwelling").decode()


@pytest.fixture(scope="module")
def weak(examples):
    """A proposal with a panelboard that is rated too low."""
    text = examples.example("dwelling-service").decode()
    return text.replace('"short_circuit_rating": "10 kA"', '"short_circuit_rating": "5 kA"')


def line_of(document, part):
    return next(number for number, text in enumerate(document.split("\n"), 1) if part in text)


class TestGettingADocumentIn:
    def test_from_paste_to_printed_letter_by_keys_alone(self, reviewer, weak):
        reviewer.check(weak)
        assert reviewer.stayed
        assert reviewer.verdict.startswith("Does not conform")
        assert reviewer.focused == "verdict-title"
        here = reviewer.driver.current_window_handle
        reviewer.type("w")
        reviewer.wait(lambda: len(reviewer.driver.window_handles) == 3)
        letter = next(h for h in reviewer.driver.window_handles[1:] if h != here)
        reviewer.driver.switch_to.window(letter)
        reviewer.wait(lambda: reviewer.all("h1"))
        assert reviewer.text("h1") == "Plan review: corrections"
        assert "The short-circuit current rating of the panelboard (5,000 A) is less than" in reviewer.text("main")
        assert b"/MediaBox [0 0 612 792]" in reviewer.printed()

    def test_pasted_where_no_field_is(self, reviewer, half_known):
        reviewer.open("/review?example=dwelling-service")
        paste = """
        const data = new DataTransfer(); data.setData("text/plain", arguments[0]);
        document.body.dispatchEvent(new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true}));
        """
        reviewer.settled(lambda: reviewer.script(paste, half_known))
        assert reviewer.verdict.startswith("Cannot be decided")
        assert reviewer.document == half_known

    def test_dropped(self, reviewer, half_known):
        reviewer.open()
        drop = """
        const data = new DataTransfer(); data.items.add(new File([arguments[0]], "a.json", {type: "application/json"}));
        for (const kind of ["dragover", "drop"])
          document.body.dispatchEvent(new DragEvent(kind, {dataTransfer: data, bubbles: true, cancelable: true}));
        """
        reviewer.settled(lambda: reviewer.script(drop, half_known))
        assert reviewer.verdict.startswith("Cannot be decided")
        assert reviewer.document == half_known

    def test_picked(self, reviewer, half_known, tmp_path):
        (tmp_path / "a.json").write_text(half_known)
        reviewer.open()
        reviewer.settled(lambda: reviewer.find("#file").send_keys(str(tmp_path / "a.json")))
        assert reviewer.verdict.startswith("Cannot be decided")

    def test_a_picked_file_that_is_no_text_is_told_and_changes_nothing(self, reviewer, tmp_path):
        (tmp_path / "a.json").write_bytes(b'{"a": "\xff"}')
        reviewer.open()
        reviewer.find("#file").send_keys(str(tmp_path / "a.json"))
        reviewer.wait(lambda: "not UTF-8" in reviewer.text("#status"))
        assert reviewer.state == "empty"

    def test_an_example(self, reviewer):
        reviewer.open()
        reviewer.driver.find_element(By.LINK_TEXT, "half known dwelling").click()
        reviewer.wait(lambda: reviewer.state == "judged")
        assert reviewer.verdict.startswith("Cannot be decided")


class TestFindingsAndLines:
    def test_a_finding_lights_up_its_lines_and_a_line_its_findings(self, reviewer, weak):
        reviewer.check(weak)
        card = reviewer.find("article.violation")
        card.find_element(By.CSS_SELECTOR, ".message").click()
        lit = reviewer.lit()
        assert line_of(weak, '"5 kA"') in lit
        assert line_of(weak, '"impedance_percent"') in lit
        assert card.get_attribute("id") in reviewer.active()

        reviewer.find("#verdict-title").click()
        number = line_of(weak, DEPTH)
        reviewer.find(f"#line-{number} code").click()
        assert number in reviewer.lit()
        first = reviewer.active()
        reviewer.find(f"#line-{line_of(weak, SYSTEM)} .back").click()
        assert reviewer.active() != first
        assert line_of(weak, SYSTEM) in reviewer.lit()

    def test_a_line_that_a_folded_finding_rests_on_unfolds_it(self, reviewer, weak):
        reviewer.check(weak)
        assert not reviewer.find("#satisfied").get_attribute("open")
        reviewer.find(f"#line-{line_of(weak, DEPTH)} .back").click()
        assert reviewer.find("#satisfied").get_attribute("open")

    def test_all_by_keys(self, reviewer, weak):
        reviewer.check(weak)
        reviewer.type("n")
        first = reviewer.active()
        assert reviewer.script("return document.activeElement.classList.contains('violation')")
        lit = reviewer.lit()
        assert lit
        reviewer.type("l")
        assert reviewer.script("return document.activeElement.closest('li').id") == f"line-{lit[0]}"
        reviewer.type("b")
        assert reviewer.active() != []
        reviewer.type("p")
        reviewer.type("p")
        assert reviewer.active() == first
        reviewer.type("n")
        assert reviewer.active() != first

    def test_single_letters_can_be_switched_off_and_stay_so(self, reviewer, weak):
        reviewer.check(weak)
        reviewer.type("k")
        reviewer.find("#single-keys").click()
        reviewer.find("#verdict-title").click()
        reviewer.type("n")
        assert reviewer.active() == []
        reviewer.check(weak)
        reviewer.find("#verdict-title").click()
        reviewer.type("n")
        assert reviewer.active() == []
        reviewer.find("#keys summary").click()
        reviewer.find("#single-keys").click()
        reviewer.find("#verdict-title").click()
        reviewer.type("n")
        assert reviewer.active() != []

    def test_letters_typed_into_a_field_are_letters(self, reviewer, half_known):
        reviewer.check(half_known)
        field = reviewer.find(f"[name='{IMPEDANCE}']")
        field.send_keys("nplbw")
        assert field.get_attribute("value") == "nplbw"
        assert len(reviewer.driver.window_handles) == 2

    def test_a_finding_is_copied_as_text(self, reviewer, weak):
        reviewer.devtools("Browser.grantPermissions", permissions=["clipboardReadWrite", "clipboardSanitizedWrite"])
        reviewer.check(weak)
        reviewer.find("article.violation button.copying").click()
        reviewer.wait(lambda: reviewer.text("#status") == "Copied.")
        copied = reviewer.copied()
        assert copied.startswith("Correction: The panelboard's short-circuit current rating is at least")
        assert "Found: 5,000 A" in copied
        assert "Remedy: " in copied
        reviewer.type("n")
        reviewer.type("n")
        reviewer.type("t")
        reviewer.wait(lambda: reviewer.copied() != copied)


class TestWhatCannotBeRead:
    def test_reasons_stand_at_their_lines_and_lead_into_the_text(self, reviewer, half_known, keep):
        document = half_known.replace('"aluminum"', '"alu"').replace('"36 in"', '"36in"')
        reviewer.check(document)
        assert reviewer.state == "refused"
        assert reviewer.focused == "refused-title"
        number = line_of(document, '"36in"')
        assert "Perhaps 36 in?" in reviewer.text("#refused")
        assert "one space" in reviewer.text(f"#line-{number} .error")
        keep("refused")
        reviewer.find(f"#refused [data-line='{number}']").click()
        caret = reviewer.script("return document.getElementById('document').selectionStart")
        assert document[caret:].startswith('"36in"')
        reviewer.type(Keys.DELETE * len('"36in"'))
        reviewer.insert('"36 in"')
        reviewer.settled(lambda: reviewer.type(Keys.CONTROL, Keys.ENTER))
        assert "Perhaps" not in reviewer.text("#refused")

    def test_what_is_no_json_is_told_with_its_line(self, reviewer, half_known):
        reviewer.check(half_known[:400])
        assert reviewer.state == "refused"
        assert len(reviewer.all(".lines .error")) == 1
        assert reviewer.document == half_known[:400]


class TestChoosing:
    def test_an_edition_is_judged_at_once_and_the_focus_stays(self, reviewer, half_known):
        reviewer.check(half_known)
        edition = reviewer.find("#edition")
        edition.send_keys("")
        reviewer.settled(lambda: Select(edition).select_by_value("2017"))
        assert reviewer.stayed
        assert "edition 2017" in reviewer.text("#verdict")
        assert reviewer.focused == "edition"

    def test_a_jurisdiction_is_written_into_the_document(self, reviewer, half_known):
        reviewer.check(half_known)
        reviewer.settled(lambda: Select(reviewer.find("#jurisdiction")).select_by_value("demo-harbor-county"))
        assert json.loads(reviewer.document)["project"]["jurisdiction"] == "demo-harbor-county"
        assert "demo-harbor-county" in reviewer.text("#verdict")

    def test_editions_side_by_side_by_a_key(self, reviewer, half_known):
        reviewer.check(half_known)
        reviewer.settled(lambda: reviewer.type("s"))
        rows = reviewer.all("#side-by-side tbody tr")
        assert [row.find_element(By.TAG_NAME, "th").text for row in rows[:4]] == [
            "2017",
            "2020",
            "2023",
            "2026 (preview)",
        ]
        reviewer.settled(lambda: reviewer.type("s"))
        assert not reviewer.all("#side-by-side")


class TestAnsweringAndMending:
    def test_an_answer_is_given_with_the_enter_key(self, reviewer, half_known):
        reviewer.check(half_known)
        before = reviewer.verdict
        reviewer.type("q")
        assert reviewer.script("return document.activeElement.name") == IMPEDANCE
        reviewer.type("5")
        reviewer.settled(lambda: reviewer.type(Keys.ENTER))
        assert reviewer.stayed
        assert json.loads(reviewer.document)["supply"]["source"]["impedance_percent"] == 5
        assert reviewer.verdict != before
        assert "Transformer impedance: 5" in reviewer.text("#changed")
        reviewer.settled(lambda: reviewer.find("#undo").click())
        assert reviewer.document == half_known
        assert reviewer.verdict == before

    def test_an_answer_that_is_not_taken_keeps_its_text_and_says_why(self, reviewer, half_known):
        reviewer.check(half_known)
        field = reviewer.find(f"[name='{IMPEDANCE}']")
        field.send_keys("50")
        reviewer.settled(lambda: field.send_keys(Keys.ENTER))
        assert reviewer.document == half_known
        assert "from 0.1 % to 20 %" in reviewer.text("#question-1 .untaken")
        assert reviewer.find(f"[name='{IMPEDANCE}']").get_attribute("value") == "50"

    def test_a_word_is_chosen_and_answered(self, reviewer, half_known):
        reviewer.check(half_known)
        name = "answer:/panelboard/circuits/0/conductor/size"
        Select(reviewer.find(f"[name='{name}']")).select_by_value("8 AWG")
        button = reviewer.find(f"li:has([name='{name}']) button[name=answer]")
        reviewer.settled(button.click)
        assert json.loads(reviewer.document)["panelboard"]["circuits"][0]["conductor"]["size"] == "8 AWG"

    def test_values_are_tried(self, reviewer, examples, half_known, keep):
        asked = examples.validate(half_known.encode()).questions
        flips = next(q.threshold for q in asked if q.pointer == IMPEDANCE.removeprefix("answer:"))
        reviewer.check(half_known)
        reviewer.settled(lambda: reviewer.find(SWEEP).click())
        assert reviewer.text("#sweep thead .flip") == f"{flips.value:g}"
        assert reviewer.focused == "sweep-title"
        keep("values-tried")

    def test_a_remedy_is_applied(self, reviewer, weak):
        reviewer.check(weak)
        reviewer.settled(lambda: reviewer.find("button[name=apply]").click())
        assert reviewer.verdict.startswith("Conforms")
        assert "Remedy applied" in reviewer.text("#changed")
        assert json.loads(reviewer.document)["panelboard"]["short_circuit_rating"] == "10 kA"

    def test_the_letter_takes_what_was_decided(self, reviewer, weak):
        reviewer.check(weak)
        card = reviewer.find("article.violation")
        why = card.find_element(By.CSS_SELECTOR, ".why input")
        assert not why.is_displayed()
        Select(card.find_element(By.CSS_SELECTOR, ".decide select")).select_by_value("note")
        assert why.is_displayed()
        why.send_keys("Seen on the nameplate.")
        reviewer.find("#paper-correction-letter").click()
        reviewer.wait(lambda: len(reviewer.driver.window_handles) == 3)
        reviewer.driver.switch_to.window(reviewer.driver.window_handles[2])
        reviewer.wait(lambda: reviewer.all("h1"))
        assert "Seen on the nameplate." in reviewer.text("main")

    def test_when_the_service_is_gone_nothing_is_lost(self, reviewer, half_known):
        reviewer.check(half_known)
        reviewer.devtools("Network.enable")
        reviewer.devtools(
            "Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0
        )
        reviewer.find("#check").click()
        reviewer.wait(lambda: "did not answer" in reviewer.text("#status"))
        reviewer.devtools(
            "Network.emulateNetworkConditions", offline=False, latency=0, downloadThroughput=-1, uploadThroughput=-1
        )
        assert reviewer.document == half_known
        reviewer.settled(lambda: reviewer.find("#check").click())
        assert reviewer.state == "judged"


class TestForEverybody:
    def states(self, reviewer, half_known, weak):
        """Every face of the page, one after the other."""
        reviewer.open()
        yield "empty"
        reviewer.check(half_known[:400])
        yield "refused"
        reviewer.check(weak)
        reviewer.settled(lambda: reviewer.type("s"))
        reviewer.type("n")
        yield "corrections"
        reviewer.check(half_known)
        reviewer.settled(lambda: reviewer.find(SWEEP).click())
        reviewer.script("for (const one of document.querySelectorAll('details:not(.copy)')) one.open = true")
        yield "all unfolded"

    @pytest.mark.parametrize("width", [390, 1280])
    def test_axe_finds_nothing(self, reviewer, half_known, weak, width):
        reviewer.screen(width, 800)
        for state in self.states(reviewer, half_known, weak):
            for scheme in ("light", "dark"):
                reviewer.light(scheme)
                assert reviewer.axe() == [], (state, scheme)

    def test_nothing_is_asked_of_another_host_and_the_browser_has_no_complaint(self, reviewer, half_known, weak):
        for _ in self.states(reviewer, half_known, weak):
            pass
        own = [address for address in reviewer.requested() if not address.startswith(("data:", "chrome", "about:"))]
        assert own
        assert [address for address in own if not address.startswith(f"{reviewer.url}/")] == []
        assert reviewer.complaints() == []

    @pytest.mark.parametrize("width", [390, 768, 1024, 1920])
    def test_no_face_of_the_page_is_wider_than_the_screen(self, reviewer, half_known, weak, width, keep):
        reviewer.screen(width, 844 if width < 1024 else 1080)
        for state in self.states(reviewer, half_known, weak):
            for scheme in ("light", "dark"):
                reviewer.light(scheme)
                shown, screen = reviewer.script("return [document.documentElement.scrollWidth, innerWidth]")
                assert shown <= screen == width, state
                keep(f"{state.replace(' ', '-')}-{width}-{scheme}")

    def test_dark_and_light_are_as_the_reader_has_them(self, reviewer):
        reviewer.open()
        grounds = {}
        for scheme in ("light", "dark"):
            reviewer.light(scheme)
            grounds[scheme] = reviewer.script("return getComputedStyle(document.body).backgroundColor")
        brightness = {scheme: sum(map(int, re.findall(r"\d+", colour))) for scheme, colour in grounds.items()}
        assert brightness["light"] > 700
        assert brightness["dark"] < 120

    def test_every_control_is_reached_with_the_tab_key(self, reviewer, weak):
        reviewer.check(weak)
        reviewer.script("document.activeElement.blur(); scrollTo(0, 0)")
        reached = set()
        for _ in range(2000):
            reviewer.devtools("Input.dispatchKeyEvent", type="keyDown", key="Tab", windowsVirtualKeyCode=9)
            told = reviewer.script(
                "const e = document.activeElement; if (e === document.body) return null;"
                "e.dataset.reached = '1'; return [e.id, e.name || '']"
            )
            if told is None and reached:
                break
            reached.update(filter(None, told or ()))
        lacking = reviewer.script(
            "return [...document.querySelectorAll('button, select, input, textarea, summary')]"
            ".filter(e => e.checkVisibility({contentVisibilityAuto: true}) && !e.dataset.reached && e.tabIndex >= 0)"
            ".map(e => e.outerHTML.slice(0, 120))"
        )
        assert lacking == []
        assert {"check", "edition", "jurisdiction", "compare", "paper-correction-letter"} <= reached

    def test_on_paper_there_is_the_report_and_nothing_to_press(self, reviewer, weak, keep):
        reviewer.check(weak)
        paper = reviewer.printed()
        assert b"/MediaBox [0 0 612 792]" in paper
        reviewer.light("light", media="print")
        for selector in (".bar", ".tools", ".document", ".decide", "button"):
            assert not any(one.is_displayed() for one in reviewer.all(selector)), selector
        assert reviewer.find("#verdict-title").is_displayed()
        assert all(one.is_displayed() for one in reviewer.all("article.violation .message"))
        reviewer.screen(680, 880)
        keep("on-paper")

    def test_papers_pass_axe_too(self, reviewer, half_known):
        reviewer.check(half_known)
        here = reviewer.driver.current_window_handle
        for button in [one.get_attribute("id") for one in reviewer.all(".papers button")]:
            reviewer.driver.switch_to.window(here)
            known = set(reviewer.driver.window_handles)
            reviewer.find(f"#{button}").click()
            reviewer.wait(lambda known=known: set(reviewer.driver.window_handles) - known)
            reviewer.driver.switch_to.window((set(reviewer.driver.window_handles) - known).pop())
            reviewer.wait(lambda: reviewer.all("main"))
            assert reviewer.axe() == [], button

    @pytest.mark.parametrize("width", [320, 390, 768])
    def test_no_paper_is_wider_than_the_screen(self, reviewer, half_known, width):
        document = json.loads(half_known)
        document["panelboard"]["marked_maximum_poles"] = 42
        document["panelboard"]["circuits"] = [
            {"number": number, "poles": 1, "breaker": {"rating": "20 A"}, "serves": "x" * 60} for number in range(1, 43)
        ]
        reviewer.check(json.dumps(document, indent=1))
        here = reviewer.driver.current_window_handle
        for button in ("paper-circuit-directory", "paper-report"):
            reviewer.driver.switch_to.window(here)
            known = set(reviewer.driver.window_handles)
            reviewer.find(f"#{button}").click()
            reviewer.wait(lambda known=known: set(reviewer.driver.window_handles) - known)
            reviewer.driver.switch_to.window((set(reviewer.driver.window_handles) - known).pop())
            reviewer.wait(lambda: reviewer.all("main table"))
            reviewer.screen(width, 800)
            reviewer.script("for (const one of document.querySelectorAll('details')) one.open = true")
            shown, screen = reviewer.script("return [document.documentElement.scrollWidth, innerWidth]")
            assert shown <= screen == width, button

    def test_the_script_is_small(self):
        assert len(assets()["review.js"].content) < 20_000


class TestWithoutAScript:
    @pytest.fixture
    def plain(self, driver_without_scripts, url):
        driver_without_scripts.get(f"{url}/review")
        return driver_without_scripts

    def test_paste_answer_and_letter(self, plain, half_known):
        plain.find_element(By.ID, "document").send_keys(json.dumps(json.loads(half_known), separators=(",", ":")))
        plain.find_element(By.ID, "check").click()
        assert plain.find_element(By.ID, "verdict-title").text.startswith("Cannot be decided")
        plain.find_element(By.NAME, IMPEDANCE).send_keys("5", Keys.ENTER)
        assert "Transformer impedance: 5" in plain.find_element(By.ID, "changed").text
        plain.find_element(By.ID, "undo").click()
        assert not plain.find_elements(By.ID, "changed")

    def test_a_finding_leads_to_its_line_which_lights_up_and_leads_back(self, plain, url):
        plain.get(f"{url}/review?example=half-known-dwelling")
        link = plain.find_element(By.CSS_SELECTOR, "article.undetermined .rests a")
        number = link.text
        ground = plain.find_element(By.ID, f"line-{number}").value_of_css_property("background-color")
        link.click()
        line = plain.find_element(By.ID, f"line-{number}")
        assert plain.current_url.endswith(f"#line-{number}")
        assert line.value_of_css_property("background-color") != ground
        back = line.find_element(By.CSS_SELECTOR, ".back")
        wanted = back.get_attribute("href").partition("#")[2]
        back.click()
        assert plain.current_url.endswith(f"#{wanted}")
        assert plain.find_element(By.ID, wanted).is_displayed()
