"""Reports as Markdown, read by a parser of Markdown."""

import pytest

from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.intake.read import read_proposal
from changeout.render.markdown import report_markdown
from changeout.render.page import Blank, Cell, Code, Page, Paragraph, Section, Strong, Table, joined
from changeout.render.page_markdown import markdown_text, page_markdown
from render.reading import elements, markdown_tree, tag, text_of
from render.sample_report import every_finding, whole_report

SERVICE = Service.load()


@pytest.mark.parametrize(
    "text",
    [
        "plain words, 10,000 A",
        "# no heading",
        "- no item",
        "+ no item",
        "1. no item",
        "23) no item",
        "=== no underline",
        "--- no rule",
        "*a* _b_ __c__ **d** ~~e~~ `f` ``g``",
        "[text](javascript:alert(1)) ![x](y) [ref][a] [^1]",
        "<b>x</b> <img src=x onerror=alert(1)> <!-- c --> <?php ?>",
        "&lt; &amp; &#60; a & b",
        "a | b || c",
        "back\\slash \\* \\",
        "$x$ $$y$$",
        "http://a.example www.a.example mailto:a@b.example",
        "> quote",
        "    indented",
        "</details></summary>",
        "ends with two spaces  ",
        "\u202eturned\u202c",
        "line\nbreak\r\n# heading",
    ],
)
def test_text_comes_out_of_a_parser_as_it_went_in(text):
    tree = markdown_tree(f"{markdown_text(text)}\n")
    shown = text_of(tree).replace("\\u202e", "\u202e").replace("\\u202c", "\u202c")
    assert shown == " ".join(text.split())
    assert {tag(e) for e in elements(tree)} <= {"DOCUMENT_FRAGMENT", "p"}


@pytest.mark.parametrize("text", ["a | b", "`|`", "x\\|y", "# h", "\\"])
def test_text_stays_in_its_cell(text):
    table = Table(caption="", columns=("One", "Two"), rows=((Cell(words=text), Cell(words="next")),))
    tree = markdown_tree(page_markdown(Page(title="t", blocks=(table,))))
    cells = [text_of(e) for e in elements(tree) if tag(e) == "td"]
    assert cells == [text, "next"]


@pytest.mark.parametrize("text", ["/a/b", "a`b", "``", "a|b", "<b>"])
def test_code_shows_what_it_holds(text):
    page = Page(title="t", blocks=(Paragraph(words=joined("Rule ", Code(text), ".")),))
    assert text_of(markdown_tree(page_markdown(page))) == f"t Rule {text}."


def test_parts_keep_their_distance():
    page = Page(title="t", blocks=(Paragraph(words=joined("for ", Strong("this"), " one: ", Blank(), " A")),))
    assert text_of(markdown_tree(page_markdown(page))) == "t for this one: ________ A"


def test_a_fold_is_closed_before_what_follows():
    inner = Section(title="<Folded> & more", blocks=(Paragraph(words="within"),), folded="closed")
    tree = markdown_tree(page_markdown(Page(title="t", blocks=(inner, Paragraph(words="after")))))
    details = next(e for e in elements(tree) if tag(e) == "details")
    assert text_of(details) == "<Folded> & more within"


def test_the_headline_comes_first_and_violations_before_all_else():
    text = report_markdown(whole_report())
    places = [text.index(words) for words in ("Does not conform as proposed", "## Corrections", "## Questions")]
    assert places == sorted(places)
    assert text.index("less than the available") < text.index("Whether the breaker")


def test_every_message_is_there():
    shown = text_of(markdown_tree(report_markdown(whole_report())))
    for one in every_finding():
        if one.outcome is not Outcome.SATISFIED:
            assert one.message in shown, one.rule
    for words in ("A standing caution.", "The authority having jurisdiction decides.", "A caution of this finding."):
        assert words in shown


def test_what_is_seen_at_inspection_is_a_folded_checklist():
    text = report_markdown(whole_report())
    fold = text[text.index("<summary>To be seen at inspection (1)") : text.index("<summary>Does not apply")]
    assert "- [ ] The title of seen" in fold


def test_a_plain_house_reads_on_one_page():
    read = read_proposal(SERVICE.example("dwelling-service"))
    text = report_markdown(SERVICE.report_on(read), read.proposal)
    tree = markdown_tree(text)
    folded = sum(len(text_of(e)) for e in elements(tree) if tag(e) == "details")
    assert len(text_of(tree)) - folded < 3000
