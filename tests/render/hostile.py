"""Texts made to break out of whatever they are put into, and proposals that have them in every free-text member."""

import copy
import itertools
import json

from changeout.application.service import Service

HOSTILE = (
    '"><img src=x onerror=alert(1)>',
    "<script>alert(1)</script>",
    "</title></style></script><b>b</b>",
    "<!-- ]]> --><svg/onload=1>",
    "[a](javascript:alert(1)) ![b](x)",
    "`c` ``d`` **e** __f__ ~~g~~ $h$",
    "# i | j || k \\ l",
    "{{7*7}} {% raw %} ${x} {0}",
    "=HYPERLINK(1) +1 -1 @x",
    "&lt;m&gt; &amp; &#60; &",
    "http://n.example www.o.example",
    "'; -- \" ' `",
)


def with_texts(document, texts):
    """A copy with one of the *texts* in every free-text member, in turn (numbered where it must be unique)."""
    changed = copy.deepcopy(document)
    turns = itertools.cycle(texts)

    def text(longest):
        return next(turns)[:longest].strip()

    changed["project"]["reference"] = text(128)
    changed["project"]["annotations"] = {text(40): text(120) for _ in range(3)}
    for circuit in changed["panelboard"]["circuits"]:
        circuit["serves"] = text(60)
    changed["panelboard"]["circuits"][0]["multiwire_group"] = text(20)
    derived = changed["supply"]["separately_derived"]
    for place, run in enumerate([*derived["primary_runs"], *changed["supply"]["runs"]]):
        run["id"] = f"{place}{text(20)}"
    changed["documents"] = [
        {"id": f"{place}{text(20)}", "kind": "other", "title": text(60), "dated": "2026-01-01"} for place in range(2)
    ]
    changed["supply"]["source"]["stated_by"] = text(64)
    changed["supply"]["source"]["document"] = changed["documents"][0]["id"]
    for label in (changed["panelboard"], changed["enclosure"]):
        label.pop("identification_document", None)
        label.pop("listing_document", None)
    changed["enclosure"]["field_label"] = {"state": "none"}
    changed["panelboard"]["series_rating"] = {"tested_combination_document": changed["documents"][1]["id"]}
    changed["panelboard"]["short_circuit_rating"] = "1 kA"
    changed["load"]["appliances"] = [{"name": text(80), "rating": "1 kW", "kind": "fixed"}]
    changed["service"] = {"emergency_disconnect_marking": text(60)}
    changed["waivers"] = [
        {"rule": "short-circuit-rating-at-least-fault-current", "reason": text(60), "granted_by": text(60)},
        {"rule": text(60), "reason": text(60), "granted_by": text(60)},
    ]
    return changed


def hostile_documents():
    """Proposals with hostile texts, shifted so that each place gets several of them."""
    start = json.loads(Service.load().example("office-behind-transformer"))
    return [with_texts(start, HOSTILE[turn:] + HOSTILE[:turn]) for turn in range(0, len(HOSTILE), 3)]
