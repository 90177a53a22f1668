"""A load found from the demand that was measured."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from changeout.domain.facts import Claim, Evidence, certain, merged
from changeout.domain.findings import Answer, Basis, Figure, Stage
from changeout.domain.truth import Truth
from changeout.electrical.loads.existing import demand_record_permitted
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, amount, decide, figure, not_applicable, spread, under, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import AMPACITY_NEEDS, DEVICE_NEEDS, DWELLING_PARAMETERS, load_limit

_BARRED: Final = (
    "Some read the section to bar a year's record as well where own generation or peak shaving lowers demand."
)
"""Source: electricians' forum, forums.mikeholt.com, thread 2580398, on a state's code of 2022."""


@rule(
    "measured-demand-method",
    group="load",
    about="/load/maximum_demand",
    stage=Stage.INTAKE,
    needs=(
        "/load/method",
        "/load/maximum_demand",
        "/load/added_load",
        "/load/demand_record",
        "/load/peak_shaving",
        "/generation",
        "/documents",
        "calculation:load",
        "/project/occupancy",
        "/project/serves",
        "/supply/system",
        "/supply/carries_entire_dwelling_load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="a load found from measured demand",
    parameters={
        "demand_factor": "number",
        "record_days": "number",
        "short_record_days": "number",
        **DWELLING_PARAMETERS,
    },
)
def measured_demand(case: Case, limits: Limits) -> Answer:
    """Measured demand, raised and with what is added, stays within the rating, and its record may count.

    Because: a demand that own generation or load control lowered while it was recorded hides the true load.
    Passes: when a year's record, or a thirty-day one without own generation or peak shaving, gives a demand that
        raised and with the added load is at or below the least of the main, the device ahead and the conductors.
    Fails: when the sum is above that, or a thirty-day record was taken with own generation or peak shaving.
    Cannot tell: when the demand, the added load, the kind of record, generation or peak shaving, or a rating is not
        stated and decides.
    Not covered: how the thirty days were recorded. That own generation or peak shaving bars a year's record too, as
        some read the section, is said as a caution.
    """
    method = case.load.method
    if method.stated and method.value != "measured-demand":
        return not_applicable("the load is not found from measured demand", method)
    limit = load_limit(case, limits)
    if limit is None:
        return not_applicable("neither a device nor conductors are stated to compare the load with", method)
    load, record = case.load_result.amps, _record_may_count(case)
    fits = within(load, limit.number)
    words = _record_words(case, limits)
    found, required = _figures(record, figure("measured demand with what is added", load, "A"), _limit_figure(limit))
    sum_text = f"the measured demand with what is added ({spread(load, 'A')})"
    answer = decide(
        record & fits,
        yes=f"{sum_text}, by {words}, is no more than the {limit.name} ({spread(limit.number, 'A')})",
        no=f"{sum_text} is more than the {limit.name} ({spread(limit.number, 'A')})"
        if fits.fails
        else f"{words} may not be used where own generation or peak shaving lowers the recorded demand",
        unknown=f"whether {sum_text} may be used, and is within the rating, cannot be told from what is stated",
        found=found,
        required=required,
        notes=Notes(
            remedy="use a larger service, or add less" if fits.fails else "use a year's record, or calculate the load",
            cautions=_cautions(case, limits),
            documents=_records(case),
            basis=Basis.COMPUTED,
        ),
    )
    return under(
        method.among("measured-demand"),
        replace(answer, calculation="load"),
        otherwise="the load is not found from measured demand",
    )


def _record_may_count(case: Case) -> Claim:
    """Return the claim that there is a record of a kind that may be used here."""
    record = case.load.demand_record
    permitted = demand_record_permitted(record, _lowered(case))
    return permitted if record.stated else Claim(Truth.UNKNOWN, merged(record.inputs, permitted.inputs), record.missing)


def _lowered(case: Case) -> Claim:
    """Return the claim that own generation or peak shaving lowers the demand that is recorded."""
    sources = case.proposal.generation
    own = certain(bool(sources.items), sources) if sources.stated else _unknown(sources.inputs)
    return own | case.load.peak_shaving.claim


def _unknown(pointers: tuple[str, ...]) -> Claim:
    return Claim(Truth.UNKNOWN, pointers, pointers)


def _limit_figure(limit: Quantity) -> Figure:
    return figure(limit.name, limit.number, "A", "<=")


def _figures(record: Claim, found: Figure, required: Figure) -> tuple[Figure | None, Figure | None]:
    return (None, None) if record.fails else (found, required)


def _record_words(case: Case, limits: Limits) -> str:
    if case.load.demand_record.value == "thirty-day":
        return f"a record of {amount(limits.number('short_record_days'), 'days')}"
    return f"a record of {amount(limits.number('record_days'), 'days')}"


def _cautions(case: Case, limits: Limits) -> tuple[str, ...]:
    short = (
        f"A record of {amount(limits.number('short_record_days'), 'days')} must be of the phase with the highest load, "
        "taken while the building was in use, and seasonal loads must be added.",
    )
    unseen = ("The record itself must be submitted: no document of its kind is named.",)
    return (
        *(short if case.load.demand_record.value == "thirty-day" else ()),
        *((_BARRED,) if case.load.demand_record.value == "one-year" and not _lowered(case).fails else ()),
        *(() if _records(case) else unseen),
    )


def _records(case: Case) -> tuple[Evidence, ...]:
    return tuple(Evidence(d.at, d) for d in case.proposal.documents if d.kind.value == "load-record")
