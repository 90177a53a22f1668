"""The fault current of a dwelling's supply beside building and solving the same network in a power-flow library."""

from __future__ import annotations

import importlib.util
import warnings
from collections.abc import Callable
from importlib.metadata import version

from aims import Figure, times_of
from fault_supplies import context, supply
from simulated_supply import currents

from changeout.electrical.fault_current import available_fault_current

TIMES = 1000
SPEC = {
    "system": "208Y/120V-3ph-4w",
    "source": {
        "kind": "transformer",
        "rating_va": 75e3,
        "impedance_percent": 2.0,
        "x_over_r": 1.5,
        "upstream": {"kind": "mva", "value_va": 100e6, "x_over_r": 8.0},
    },
    "runs": [
        {
            "id": "lateral",
            "size": "4/0 AWG",
            "material": "aluminum",
            "length_in": 840.0,
            "sets": 1,
            "raceway": "nonmetallic",
            "resistance_ohm_per_kft": 0.1,
            "reactance_ohm_per_kft": 0.041,
        }
    ],
    "motor_full_load_current_a": 0.0,
}
FOOT_KM = 0.3048e-3


def measured(rounds: int) -> list[Figure]:
    """All figures of this kind."""
    stated = supply(SPEC)
    around = context()
    found = available_fault_current(stated, around).at_panelboard
    other = max(currents(SPEC).values())
    assert found.low <= other * 1.001, (found, other)
    figures = [_beside("opendssdirect.py", lambda _: currents(SPEC), None, stated, around, rounds)]
    if importlib.util.find_spec("pandapower") is None:
        lacks = "pandapower is not installed: pip install 'changeout[benchmark]'"
        return [*figures, Figure(id="fault-pandapower", name=_name("pandapower"), value=None, least=TIMES, lacks=lacks)]
    return [*figures, _beside("pandapower", lambda _: _pandapower(), TIMES, stated, around, rounds)]


def _beside(
    library: str, solve: Callable[[int], object], least: float | None, stated: object, around: object, rounds: int
) -> Figure:
    both = times_of(
        [lambda _: [available_fault_current(stated, around) for _ in range(20)], solve],
        rounds,  # type: ignore[arg-type]
    )
    ours, theirs = (times.least for times in both)
    return Figure(
        id=f"fault-{library.removesuffix('direct.py')}",
        name=_name(library),
        value=theirs / (ours / 20),
        least=least,
        beside={
            "fault_current_us": round(1e6 * ours / 20, 1),
            "library_ms": round(1e3 * theirs, 2),
            "version": version(library),
        },
    )


def _name(library: str) -> str:
    return f"building and solving the same network with {library}, times the fault current alone"


def _pandapower() -> float:
    """The three-phase fault at the end of the run, in amperes."""
    import pandapower as pp
    from pandapower.shortcircuit import calc_sc

    run = SPEC["runs"][0]  # type: ignore[index]
    network = pp.create_empty_network()
    high, low, board = (pp.create_bus(network, vn_kv=kv) for kv in (12.47, 0.208, 0.208))
    pp.create_ext_grid(network, high, s_sc_max_mva=100.0, rx_max=1 / 8.0)
    pp.create_transformer_from_parameters(
        network, high, low, sn_mva=0.075, vn_hv_kv=12.47, vn_lv_kv=0.208, vkr_percent=1.109, vk_percent=2.0,
        pfe_kw=0.0, i0_percent=0.0,
    )  # fmt: skip
    pp.create_line_from_parameters(
        network,
        low,
        board,
        length_km=run["length_in"] / 12 * FOOT_KM,
        r_ohm_per_km=run["resistance_ohm_per_kft"] / (1000 * FOOT_KM),
        x_ohm_per_km=run["reactance_ohm_per_kft"] / (1000 * FOOT_KM),
        c_nf_per_km=0.0,
        max_i_ka=0.2,
        endtemp_degree=75.0,
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own, on the pandas it finds
        calc_sc(network, bus=board, case="max")
    return float(1e3 * network.res_bus_sc.ikss_ka.at[board])
