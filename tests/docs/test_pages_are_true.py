"""The documentation is followed as it stands: every command and program runs, every JSON is what is answered."""

import re
from contextlib import ExitStack
from importlib.resources import files

import pytest
from click.testing import CliRunner
from pages import Reader, blocks_of, contains, text_of

from changeout.application import environment
from changeout.application.service import Service
from changeout.cli import main
from changeout.cli.completion import FILE
from changeout.web.app import create_app
from changeout.web.settings import Settings

ALL = sorted(
    entry.name.removesuffix(".md") for entry in files("changeout.docs").iterdir() if entry.name.endswith(".md")
)
SERVICE = Service.load()
FOLLOWED = [name for name in ALL if any(block.language for block in blocks_of(name))]
KINDS = ("tutorial", "how-to", "explanation")


@pytest.mark.parametrize("name", FOLLOWED)
def test_who_follows_the_page_sees_what_it_says(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with ExitStack() as stack:
        reader = Reader(tmp_path, stack)
        for block in blocks_of(name):
            if block.language:
                reader.follow(block)
    assert reader.followed


def test_the_pages_to_follow_are_there():
    for kind in KINDS:
        assert [name for name in FOLLOWED if name.startswith(kind)], kind
    assert {"client", "command-line"} <= set(FOLLOWED)


def test_every_fence_is_understood():
    for name in ALL:
        assert text_of(name).count("\n```") == 2 * len(blocks_of(name)), name


def test_a_part_is_told_from_what_is_not_there():
    whole = {"a": 1, "b": [{"c": 1}, {"c": 2, "d": 3}]}
    assert contains(whole, {"b": [{"c": 2}]})
    assert not contains(whole, {"b": [{"c": 2}, {"c": 1}]})
    assert not contains(whole, {"b": [{"c": 3}]})
    assert not contains(whole, {"e": None})


def options(command):
    yield from (name for option in command.params for name in option.opts if name.startswith("--"))
    for inner in getattr(command, "commands", {}).values():
        yield from options(inner)


def test_options_that_are_spoken_of_exist():
    known = {*options(main), "--help", "--version"}
    for name in ALL:
        for code in re.findall(r"`([^`\n]*)`", re.sub(r"```.*?```", "", text_of(name), flags=re.DOTALL)):
            if code.startswith(("changeout ", "--")):
                assert set(re.findall(r"--[a-z-]+", code)) <= known, (name, code)
            if code.startswith("changeout "):
                found = main
                for word in code.split()[1:]:
                    found = getattr(found, "commands", {}).get(word, found)
                assert found is not main or "COMMAND" in code or "--help" in code, (name, code)


def test_the_command_line_page_names_every_command():
    rows = re.findall(r"^\| `([a-z-]+)` \|", text_of("command-line"), re.MULTILINE)
    assert sorted(rows) == sorted(main.commands)


def test_the_table_of_variables_is_the_settings():
    rows = re.findall(r"^\| `(CHANGEOUT_\w+)` \| .* \| (.+) \|$", text_of("http"), re.MULTILINE)
    usual = Settings()
    assert dict(rows) == {
        environment.JURISDICTIONS_VARIABLE: "none",
        environment.TOKEN_VARIABLE: "asks for none",
        environment.AT_ONCE_VARIABLE: str(usual.at_once),
        environment.WAITING_VARIABLE: str(usual.waiting),
        environment.PATIENCE_VARIABLE: f"{usual.patience_s:g}",
        environment.BATCH_LINES_VARIABLE: str(usual.batch_lines),
        environment.RATE_VARIABLE: "no limit" if usual.rate is None else usual.rate,
        environment.PROXIES_VARIABLE: str(usual.proxies),
        environment.TRACES_VARIABLE: "nowhere" if usual.traces is None else usual.traces,
        environment.STALL_VARIABLE: str(main.commands["serve"].make_context("serve", []).params["stall"]),
    }
    assert set(dict(rows)) == {value for name, value in vars(environment).items() if name.endswith("_VARIABLE")}


def test_the_help_of_serve_names_them_too():
    text = CliRunner().invoke(main, ["serve", "--help"]).stdout
    for variable, value in re.findall(r"^\| `(CHANGEOUT_\w+)` \| .* \| (\d+|no.*) \|$", text_of("http"), re.MULTILINE):
        if variable in {environment.JURISDICTIONS_VARIABLE, environment.STALL_VARIABLE}:
            assert f"[env var: {variable}" in " ".join(text.split()), variable
        else:
            assert re.search(rf"{variable} .*\({value}\)", text), variable


def links(name):
    return re.findall(r"\]\(([^)\s]+)\)", re.sub(r"```.*?```", "", text_of(name), flags=re.DOTALL))


def anchors(name):
    heads = re.findall(r"^#+ (.+)$", text_of(name), re.MULTILINE)
    return {"-".join("".join(c if c.isalnum() else " " for c in head.lower()).split()) for head in heads}


@pytest.fixture(scope="module")
def client():
    return create_app(Settings(), SERVICE).test_client()


@pytest.mark.parametrize("name", ALL)
def test_links_lead_somewhere_on_a_code_host(name):
    for link in links(name):
        page, _, anchor = link.partition("#")
        if page.endswith(".md"):
            assert page.removesuffix(".md") in ALL, link
            assert not anchor or anchor in anchors(page.removesuffix(".md")), link
        else:
            assert link.startswith(("/", "https://")), link


@pytest.mark.parametrize("name", ALL)
def test_links_lead_somewhere_when_served(name, client):
    page = client.get(f"/docs/{name}")
    assert page.status_code == 200
    text = page.get_data(as_text=True)
    leading = set(re.findall(r'href="(/[^"#]*)', text)) | set(re.findall(r'href="(?!/|https?:|#)([^"#]*)', text))
    for link in leading:
        assert client.get(link).status_code == 200, link


def test_the_index_has_every_page_once():
    assert sorted(links("index")) == sorted(f"{name}.md" for name in ALL if name != "index")


def test_the_index_goes_from_tutorial_to_explanation():
    heads = re.findall(r"^## (.+)$", text_of("index"), re.MULTILINE)
    assert heads == ["Tutorial", "How to", "Reference", "Explanation"]


def test_served_pages_list_the_others_in_the_order_of_the_index(client):
    text = client.get("/docs").get_data(as_text=True)
    listed = re.findall(r'href="/docs/([a-z-]+)"', text)
    wanted = [link.removesuffix(".md") for link in links("index")]
    assert [name for name in listed if name in wanted] == wanted


def test_a_file_argument_lets_the_shell_complete_files():
    context = main.make_context("changeout", ["--help"], resilient_parsing=True)
    assert [item.type for item in FILE.shell_complete(context, main.params[0], "pro")] == ["file"]
