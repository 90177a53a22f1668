"""What changed between two editions, rule by rule, in words too."""

import pytest

from changeout.application.service import Service

SERVICE = Service.load()


def entry(rule, edition="2023", since="2020"):
    (found,) = [one for one in SERVICE.changes(edition, since)["entries"] if one["rule"] == rule]
    return found


@pytest.mark.parametrize(
    "rule,kinds,text",
    [
        # Sections and limits as the rows of 2020 and 2023 have them, each with its source.
        ("replacement-interior-identified-at-or-below-10-ka", ["new"], "Asked from here on: 408.9(B)."),
        ("panelboard-not-reconditioned", ["renumbered"], "408.2(A) now, 408.8(A) before."),
        ("panelboard-orientation", ["parameter"], "Not allowed: adds face-down."),
        ("cover-belongs-to-cabinet", ["effect", "renumbered"], "A requirement now, advice before; 312.102 now, 110.3(B) before."),
    ],
)  # fmt: skip
def test_a_change_is_told_in_words(rule, kinds, text):
    found = entry(rule)
    assert found["changes"] == kinds
    assert found["text"] == text


def test_every_change_is_told_in_a_sentence():
    for since in SERVICE.editions():
        for edition in SERVICE.editions():
            for found in SERVICE.changes(edition, since)["entries"]:
                assert found["text"][0] == found["text"][0].upper()
                assert found["text"].endswith(".")
                assert found["source"]
