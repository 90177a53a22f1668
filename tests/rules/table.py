"""The cases of all rules: read from the files that ship with the package, and run through the whole service."""

import copy
import json
import tomllib
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

KINDS = ("passes", "fails", "cannot-tell", "limit", "not-applicable", "exception")


@dataclass(frozen=True)
class RuleCase:
    rule: str
    edition: str
    name: str
    kind: str
    start: str
    change: dict = field(hash=False)
    remove: tuple
    expect: dict = field(hash=False)
    says: str
    source: str

    def __str__(self):
        return f"{self.rule}-{self.edition}-{self.kind}-{self.name}".replace(" ", "_")


@cache
def files():
    folder = resources.files("changeout.rules").joinpath("cases")
    return {
        f.name.removesuffix(".toml"): tomllib.loads(f.read_text("utf-8"))
        for f in folder.iterdir()
        if f.name.endswith(".toml")
    }


def cases():
    for rule, table in sorted(files().items()):
        for entry in table["case"]:
            for edition in entry["editions"]:
                expect = {k: entry[k] for k in ("outcome", "subject", "missing", "section") if k in entry}
                expect |= {k: bounds(entry[k]) for k in ("found", "required") if k in entry}
                yield RuleCase(
                    rule=rule,
                    edition=edition,
                    name=entry["name"],
                    kind=entry["kind"],
                    start=entry.get("start", table["start"]),
                    change=entry.get("set", {}),
                    remove=tuple(entry.get("remove", ())),
                    expect={"findings": [{"rule": rule, **expect}]},
                    says=entry.get("says", ""),
                    source=entry["source"],
                )


def bounds(value):
    return value if isinstance(value, dict) else {"value": value}


def words_of(finding):
    """All that a finding says: message, cautions, remedies."""
    return " ".join((finding.message, *finding.cautions, *(remedy.text for remedy in finding.remedies)))


def proposal_of(case, example):
    """The start proposal with the case's changes, judged under the case's edition."""
    document = copy.deepcopy(json.loads(example))
    document["project"].pop("jurisdiction", None)
    document["project"]["edition"] = case.edition
    for pointer in case.remove:
        take_out(document, pointer)
    for pointer, value in case.change.items():
        put(document, pointer, copy.deepcopy(value))
    return document


def put(document, pointer, value):
    place = document
    parts = [p.replace("~1", "/").replace("~0", "~") for p in pointer.strip("/").split("/")]
    for part, following in zip(parts, [*parts[1:], None], strict=False):
        key = int(part) if isinstance(place, list) else part
        if following is None:
            if isinstance(place, list) and key == len(place):
                place.append(value)
            else:
                place[key] = value
        else:
            if not isinstance(place, list) and place.get(key) is None:
                place[key] = {}
            place = place[key]


def take_out(document, pointer):
    place = document
    *path, last = pointer.strip("/").split("/")
    for part in path:
        place = place[int(part)] if isinstance(place, list) else place[part]
    del place[int(last) if isinstance(place, list) else last]
