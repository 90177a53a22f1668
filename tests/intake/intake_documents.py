"""Proposals to start from, and how to change and send them."""

import copy
import json

import pytest

from changeout.domain.problems import Refusal
from changeout.intake.pointers import split
from changeout.intake.read import read_proposal


def smallest():
    """The least that can be read: version, edition, occupancy, scope."""
    return {
        "changeout": 1,
        "project": {"edition": "2023", "occupancy": "one-family-dwelling"},
        "work": {"scope": "enclosed-panelboard"},
    }


def dwelling():
    """A house service with something in every object. Invented; no rule is meant to like it."""
    return {
        "changeout": 1,
        "project": {
            "reference": "HB-2041",
            "annotations": {"permit": "B-17"},
            "edition": "2023",
            "jurisdiction": "demo-harbor-county",
            "applied_on": "2026-03-02",
            "occupancy": "one-family-dwelling",
        },
        "work": {"scope": "interior-only", "items": ["panelboard"], "becomes_feeder": False},
        "supply": {
            "system": "120/240V-1ph-3w",
            "source": {
                "kind": "transformer",
                "rating": "50 kVA",
                "impedance_percent": 1.9,
                "x_over_r": 1.6,
                "upstream": {"kind": "short-circuit-power", "value": "150 MVA", "x_over_r": 8},
            },
            "runs": [
                {
                    "id": "lateral",
                    "size": "4/0 AWG",
                    "material": "aluminum",
                    "length": "60 ft",
                    "sets": 1,
                    "raceway": "nonmetallic",
                    "insulation_temperature": "75 degC",
                    "resistance": "0.100 ohm/kft",
                    "reactance": "0.041 ohm/kft",
                }
            ],
            "motor_full_load_current": "0 A",
            "overcurrent_device": {"kind": "breaker", "rating": "200 A", "interrupting_rating": "22 kA"},
        },
        "panelboard": {
            "role": "service",
            "busbar_rating": "200 A",
            "short_circuit_rating": "10 kA",
            "listed": True,
            "identification_document": "d2",
            "main": {"kind": "breaker", "rating": "200 A", "class": "molded-case", "voltage_rating": "120/240 V"},
            "termination_temperature": "167 degF",
            "circuits": [
                {
                    "number": 1,
                    "poles": 1,
                    "breaker": {"rating": "20 A", "afci": True, "secured": None},
                    "conductor": {"size": "12 AWG", "extended_by": "4 ft"},
                    "load": "1200 VA",
                    "serves": "kitchen countertop receptacles",
                    "use": "kitchen",
                },
                {"number": 2, "poles": 2, "breaker": {"rating": "30 A"}, "load": "5 hp"},
            ],
        },
        "enclosure": {"kind": "existing", "field_label": {"state": "applied", "document": "d4"}, "type": "3R"},
        "location": {"conditions": ["dry"], "working_space": {"depth": "3 ft", "width": "762 mm"}},
        "load": {
            "method": "dwelling-optional",
            "floor_area": "2000 ft2",
            "appliances": [
                {"name": "water heater", "rating": "4.5 kW", "kind": "fixed"},
                {"name": "heat pump", "rating": "20 A", "kind": "heat-pump", "supplemental": "10 kVA"},
            ],
        },
        "grounding": {"electrodes": ["ground-rod", "water-pipe"], "main_bonding_jumper": {"kind": "screw"}},
        "service": {"disconnects": 1, "surge_protection": {"kind": "type-2", "nominal_discharge_current": "10 kA"}},
        "generation": [],
        "documents": [
            {"id": "d2", "kind": "manufacturer-instructions", "title": "Instructions", "dated": "2025-06-01"},
            {"id": "d4", "kind": "field-evaluation-report"},
        ],
        "waivers": [
            {"rule": "working-space-depth", "reason": "existing room", "granted_by": "the authority"},
        ],
    }


def with_member(document, pointer, value):
    """A copy of the document with the member set; objects and lists on the way are made."""
    changed = copy.deepcopy(document)
    here, tokens = changed, split(pointer)
    for token, following in zip(tokens, [*tokens[1:], None], strict=True):
        fresh = value if following is None else ([] if following.isdecimal() else {})
        if isinstance(here, list):
            if int(token) == len(here):
                here.append(fresh)
            elif following is None:
                here[int(token)] = value
            here = here[int(token)]
        elif following is None:
            here[token] = value
        else:
            here = here.setdefault(token, fresh)
    return changed


def text_of(document):
    """The document as it is sent, a member a line."""
    return json.dumps(document, indent=1).encode()


def read(document):
    """The document as read."""
    return read_proposal(text_of(document))


def refusal_of(body):
    """The refusal of a body or document."""
    with pytest.raises(Refusal) as refused:
        read_proposal(body if isinstance(body, bytes) else text_of(body))
    return refused.value


def codes_of(document):
    """The pointers and codes of a document's errors, in their order."""
    return [(error.pointer, error.code) for error in refusal_of(document).errors]
