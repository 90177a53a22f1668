"""A split busbar in a replacement."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import ahead, mains

DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


@rule(
    "split-bus-exception-not-carried-to-replacement",
    group="busbar-and-protection",
    about="/panelboard/split_bus",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/split_bus",
        "/project/occupancy",
        "/panelboard/role",
        "/panelboard/main/kind",
        "/panelboard/second_main/kind",
        "/supply/overcurrent_device",
        "/supply/overcurrent_device/position",
    ),
    applies_to="a service panelboard of a dwelling",
)
def split_bus(case: Case, _limits: Limits) -> Answer:
    """A replacement does not lean on the exception for existing split-bus panelboards of dwellings.

    Because: a split-bus panelboard has no device that makes all of it dead; the exception keeps old ones, and a
        replacement is a new panelboard.
    Passes: when the replacement has no split busbar, or a main or a device ahead protects it as a whole.
    Fails: when the replacement has a split busbar and nothing protects it as a whole.
    Cannot tell: when neither the busbar nor the protection is stated.
    Not covered: an existing split-bus panelboard that stays; nothing is replaced then.
    """
    protected = mains(case).there | ahead(case).there
    whole = ~case.panelboard.split_bus.claim
    answer = decide(
        whole | protected,
        yes="the panelboard has no split busbar" if whole.holds else "one device protects the panelboard as a whole",
        no="the replacement has a split busbar and no device that protects it as a whole; the exception for existing "
        "split-bus panelboards does not cover a replacement",
        unknown="not stated: whether the replacement has a split busbar without a device that protects it as a whole",
        notes=Notes(remedy="use a panelboard with one busbar and a main, or put a device ahead of it"),
    )
    dwelling_service = case.panelboard.role.among("service") & case.project.occupancy.among(*DWELLINGS)
    return under(dwelling_service, answer, otherwise="the panelboard is not the service panelboard of a dwelling")
