"""No key, password or token stands in what is published."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
SHOWN = ("service", "tests", "deploy", "fixtures", "openapi")
KINDS = {
    "a private key": r"-----BEGIN [A-Z ]*PRIVATE " + "KEY-----",
    "a key of a cloud": r"\b(AKIA|ASIA)[0-9A-Z]{16}\b",
    "a token of a code host": r"\b(gh[pousr]_[A-Za-z0-9]{36}|github_pat_\w{40,}|glpat-[\w-]{20})\b",
    "a signed token": r"\beyJ[A-Za-z0-9_-]{15,}\.eyJ[A-Za-z0-9_-]{15,}\.[A-Za-z0-9_-]{10,}",
    "a password in an address": r"\b[a-z][a-z0-9+.-]*://[^\s/:@'\"<>{}]+:[^\s/:@'\"<>{}]+@[\w.-]+",
    "a password that is set": r"(?i)\b(password|passwd|secret|api_?key)\b\s*[=:]\s*['\"][^'\"\s]{8,}['\"]",
}


def files_of_the_source():
    tops = [path for path in ROOT.iterdir() if path.is_file()]
    for path in tops + [path for folder in SHOWN for path in (ROOT / folder).rglob("*") if path.is_file()]:
        if path.suffix not in {".pyc", ".png", ".woff2"} and "__pycache__" not in path.parts:
            yield path


def found_in(text):
    return [kind for kind, pattern in KINDS.items() if re.search(pattern, text)]


def test_no_file_of_the_source_holds_a_secret():
    seen = 0
    for path in files_of_the_source():
        seen += 1
        assert found_in(path.read_text("utf-8", errors="replace")) == [], path
    assert seen > 500


def test_a_secret_would_be_found():
    made = {
        "a private key": "-----BEGIN RSA PRIVATE " + "KEY-----",
        "a key of a cloud": "AKIA" + "ABCDEFGH" * 2,
        "a token of a code host": "ghp" + "_" + "a1" * 18,
        "a signed token": ".".join(["eyJ" + "a" * 20, "eyJ" + "b" * 20, "c" * 20]),
        "a password in an address": "https://user:" + "hunter22@example.org",
        "a password that is set": "password" + " = 'correct-horse'",
    }
    assert set(made) == set(KINDS)
    for kind, text in made.items():
        assert kind in found_in(text)
