"""The shape of each table's file: its parts, their columns, and the kind of each column.

Kinds: ``number`` (finite, zero or above), ``text``, ``flag``, ``mark`` (of a review), ``numbers``, ``texts``,
``editions`` (a list of editions, in order), ``keys`` (an inline table). A kind with ``?`` may be absent: where a
printed table has a dash, the column is left out. Every row also has ``origin`` and may have ``reviewed`` and ``note``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

Columns = Mapping[str, str]
Shape = Mapping[str, Columns]

HEADERS: Final[Columns] = {
    "title": "text",
    "reviewed": "mark",
    "units": "keys",
    "editions": "keys",
    "origin": "keys",
}

_BY_EDITION: Final[Columns] = {"name": "text", "edition": "text", "section": "text"}
_SUPPLY: Final[Columns] = {
    "supply_copper": "text",
    "supply_aluminum": "text",
    "supply_copper_through": "text?",
    "supply_aluminum_through": "text?",
}
_DEMAND_COUNT: Final[Columns] = {"from_count": "number", "through_count": "number?"}

_CONDUCTORS: Final[Mapping[str, Shape]] = {
    "ampacity": {
        "rows": {
            "size": "text",
            "copper_60c_a": "number",
            "copper_75c_a": "number",
            "copper_90c_a": "number",
            "aluminum_60c_a": "number?",
            "aluminum_75c_a": "number?",
            "aluminum_90c_a": "number?",
        }
    },
    "ambient_correction": {
        "rows": {
            "from_degc": "number?",
            "through_degc": "number",
            "factor_60c": "number?",
            "factor_75c": "number?",
            "factor_90c": "number",
        }
    },
    "current_carrying_conductors": {
        "rows": {"from_count": "number", "through_count": "number?", "factor": "number"},
    },
    "conductor_properties": {
        "rows": {
            "size": "text",
            "circular_mils": "number",
            "copper_uncoated": "number",
            "copper_coated": "number",
            "aluminum": "number",
        }
    },
    "conductor_impedance": {
        "rows": {
            "size": "text",
            "reactance_nonmetallic_or_aluminum": "number",
            "reactance_steel": "number",
            "copper_nonmetallic": "number",
            "copper_aluminum": "number",
            "copper_steel": "number",
            "aluminum_nonmetallic": "number?",
            "aluminum_aluminum": "number?",
            "aluminum_steel": "number?",
        }
    },
    "conductor_area": {
        "rows": {"size": "text", "thhn_in2": "number", "xhhw_in2": "number"},
    },
    "conduit_area": {
        "rows": {
            "conduit": "text",
            "trade_size": "text",
            "inside_diameter_in": "number",
            "area_in2": "number",
            "area_40_percent_in2": "number",
        },
        "fill_limits": {"conductors": "text", "percent": "number"},
    },
    "dwelling_service": {
        "rows": {"rating_a": "number", "copper": "text", "aluminum": "text"},
    },
    "wire_bending_side": {
        "rows": {
            "sizes": "texts",
            "one_in": "number?",
            "two_in": "number?",
            "three_in": "number?",
            "four_in": "number?",
            "five_in": "number?",
        }
    },
    "wire_bending_opposite": {
        "rows": {
            "sizes": "texts",
            "compact_aluminum": "texts?",
            "one_in": "number?",
            "two_in": "number?",
            "three_in": "number?",
            "four_or_more_in": "number?",
            "one_less_in": "number?",
            "two_less_in": "number?",
            "three_less_in": "number?",
            "four_or_more_less_in": "number?",
        }
    },
}

_PROTECTION: Final[Mapping[str, Shape]] = {
    "standard_ratings": {
        "rows": {"rating_a": "number", "devices": "texts", "editions": "editions"},
    },
    "small_conductor": {
        "rows": {"size": "text", "materials": "texts", "device_through_a": "number", "editions": "editions"},
    },
    "circuit_ratings": {
        "rows": {
            "circuit_a": "number",
            "editions": "editions",
            "receptacle_a": "numbers",
            "cord_connected_through_a": "keys?",
            "smallest_copper": "text",
        },
        "panelboard_ratings": {"rating_a": "number"},
        "service_minimum": {"serves": "text", "least_a": "number", "section": "text"},
    },
    "busbar_sources": {
        "rows": {
            "rule": "text",
            "test": "text",
            "location": "text",
            "output_percent": "number?",
            "busbar_percent": "number?",
            "item_2017": "text",
            "item_2020": "text",
            "item_2023": "text",
        }
    },
    "equipment_grounding": {
        "rows": {"device_through_a": "number", "copper": "text", "aluminum": "text"},
    },
    "grounding_electrode": {
        "rows": {**_SUPPLY, "copper": "text", "aluminum": "text"},
        "caps": {"section": "text", "electrode": "text", "when": "text", "copper": "text?", "aluminum": "text?"},
    },
    "bonding_jumper": {
        "rows": {**_SUPPLY, "copper": "text?", "aluminum": "text?", "percent_of_area": "number?"},
    },
}

_PLACE: Final[Mapping[str, Shape]] = {
    "enclosure_types": {
        "rows": {
            "type": "text",
            "outdoors": "flag",
            "indoors": "flag",
            "protects_against": "text",
            "keeps_out": "texts",
        },
        "tightness": {"name": "text", "types": "texts"},
    },
    "working_space": {
        "rows": {
            "from_v": "number",
            "through_v": "number",
            "condition_1_in": "number",
            "condition_2_in": "number",
            "condition_3_in": "number",
        },
        "conditions": {"condition": "number", "opposite": "text", "when": "text"},
        "other_dimensions": {"what": "text", "section": "text", "text": "text", "least_in": "number?"},
    },
}

_LOADS: Final[Mapping[str, Shape]] = {
    "load_factors": {
        "rows": {**_BY_EDITION, "value": "number?"},
        "conditions": {**_BY_EDITION, "text": "text"},
        "fastened_exclusions": {
            "edition": "text",
            "kinds": "texts",
            "excluded": "texts",
            "below_w": "number",
            "below_hp": "number",
        },
    },
    "lighting_demand": {
        "rows": {"above_va": "number", "through_va": "number?", "percent": "number"},
    },
    "dryer_demand": {
        "rows": {**_DEMAND_COUNT, "percent": "number", "less_each": "number?", "above_count": "number?"},
    },
    "range_demand": {
        "rows": {
            **_DEMAND_COUNT,
            "column_a_percent": "number",
            "column_b_percent": "number",
            "column_c_kw": "number",
            "column_c_kw_each": "number?",
        }
    },
    "motor_device": {
        "rows": {
            "motor": "text",
            "nontime_delay_fuse_percent": "number",
            "dual_element_fuse_percent": "number",
            "instantaneous_breaker_percent": "number",
            "inverse_time_breaker_percent": "number",
        }
    },
    "motor_single_phase": {
        "rows": {"horsepower": "text", **{f"at_{volts}v_a": "number" for volts in (115, 200, 208, 230)}},
    },
    "motor_three_phase": {
        "rows": {
            "horsepower": "text",
            **{f"at_{volts}v_a": "number?" for volts in (115, 200, 208, 230, 460, 575, 2300)},
        },
    },
}

SHAPES: Final[Mapping[str, Shape]] = {**_CONDUCTORS, **_PROTECTION, **_PLACE, **_LOADS}
