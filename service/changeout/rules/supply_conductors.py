"""The supply conductors against the device that protects them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from changeout.domain.facts import measured
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.proposal import Run
from changeout.electrical.ampacity import ampacity_as_installed
from changeout.electrical.installation import conductors_of_run
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, figure, not_applicable, spread, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import (
    AMPACITY_NEEDS,
    DEVICE_NEEDS,
    DWELLING_PARAMETERS,
    Device,
    ahead,
    ahead_of_run,
    last_run,
    mains,
    served,
    terminals,
)
from changeout.rules._supply_protection import Protection, greatest_rating, supply_protection
from changeout.rules._taps import TAP_PARAMETERS


@rule(
    "supply-conductors-protected-at-ampacity",
    group="conductors",
    about="/supply/runs",
    stage=Stage.INTAKE,
    needs=(
        "/supply/runs",
        "/supply/system",
        "/supply/separately_derived",
        "/supply/tap",
        "/supply/tap_rule",
        "/supply/tap_length",
        "/panelboard/busbar_rating",
        "/supply/carries_entire_dwelling_load",
        "/project/occupancy",
        "/project/serves",
        "calculation:load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="every panelboard that conductors lead to",
    parameters={"round_up_to_a": "number", **DWELLING_PARAMETERS, **TAP_PARAMETERS},
)
def supply_conductors(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """The device that protects the supply conductors is no larger than their ampacity as installed permits.

    Because: a conductor that a device lets run above its ampacity bakes its insulation, unseen inside a wall.
    Passes: when the device is at or below the ampacity, or is the next standard rating above it up to the edition's
        limit. Also when the conductors satisfy the rule for dwelling services; when they are a tap or come from a
        transformer, are no longer than the edition lets them be (where that is stated), and the main at their end is
        at or below their ampacity; or when several service disconnects stand at their end and the calculated load is
        at or below their ampacity.
    Fails: when the device is larger than all of these allow.
    Cannot tell: when something about the conductors, their terminals or the device is not stated and decides.
    Not covered: where a tap or a transformer's secondary conductors run; how long they are where neither their length
        nor the rule they are under is stated. Conductors before any device that is stated may be the utility's or have
        a device of their own: where they look too small that is said as advice.
    """
    runs, run = case.supply.runs, last_run(case)
    if run is None:
        if runs.stated:
            return not_applicable("no conductors lie between the source and the panelboard", runs)
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the supply conductors, and so what device protects them at their ampacity.",
            missing=runs.missing,
        )
    protection = supply_protection(case, limits, terminals)
    if protection is None:
        return not_applicable(
            "no device on the panelboard's side of the transformer is there to protect the conductors: the rule on "
            "panelboards behind a transformer answers",
            mains(case).there,
            ahead(case).there,
        )
    return [_last(run, protection), *_before(case, limits)]


def _last(run: Run, protection: Protection) -> Answer:
    device, ampacity = protection.device, protection.ampacity
    name = f"the {protection.name} ({spread(device, 'A')})"
    tap = f"; no rule for taps helps, since {protection.why_not}" if protection.why_not else ""
    return decide(
        protection.claim,
        yes=f"{name} {protection.because}",
        no=f"{name} is larger than the supply conductors permit: their ampacity as installed is "
        f"{spread(ampacity, 'A')}, which permits no more than {spread(protection.permitted, 'A')}{tap}",
        unknown=f"whether {name} is no larger than the supply conductors permit (ampacity as installed "
        f"{spread(ampacity, 'A')}) cannot be told from what is stated",
        found=figure(protection.name, device, "A"),
        required=figure(protection.limit_name, protection.limit, "A", "<="),
        notes=Notes(
            subject=run.at,
            remedy="use larger conductors, or a smaller device",
            cautions=protection.cautions,
        ),
    )


def _before(case: Case, limits: Limits) -> list[Answer]:
    """Return an answer for each earlier run with a device ahead, and advice for others that look too small."""
    runs = case.supply.runs.items
    answers = []
    for index, run in enumerate(runs[:-1]):
        devices = [other.device_after for other in runs[:-1]]
        first = case.supply.overcurrent_device is not None and ahead_of_run(case, 0).there.holds
        if any(devices[:index]) or (first and any(devices[index:])):
            answers.append(_between(case, limits, run, ahead_of_run(case, index)))
    return answers or _too_small(case, limits)


def _between(case: Case, limits: Limits, run: Run, device: Device) -> Answer:
    """Answer for a run that has a device ahead and does not end at the panelboard."""
    ampacity = measured(ampacity_as_installed(conductors_of_run(run), terminals(case, device.rating)))
    permitted = greatest_rating(ampacity, limits)
    claim, end = within(device.rating, permitted), run.device_after
    text = f"conductors whose ampacity as installed is {spread(ampacity, 'A')}"
    notes = Notes(
        subject=run.at,
        remedy="use larger conductors, or a smaller device before them",
        cautions=("The terminals between the runs are taken to be marked as those of the panelboard are.",),
    )
    if claim.fails and end is not None and not within(end.rating_a, ampacity).fails:
        return advise(
            f"the device before this run ({spread(device.rating, 'A')}) is larger than its {text} permit; that is in "
            "order only where the run is a tap that its rule allows, which must be shown",
            claim,
            end.rating_a,
            notes=replace(notes, advice=Advice.READING),
        )
    return decide(
        claim,
        yes=f"the device before this run ({spread(device.rating, 'A')}) protects {text}",
        no=f"the device before this run ({spread(device.rating, 'A')}) is larger than its {text} permit",
        unknown=f"whether the device before this run ({spread(device.rating, 'A')}) protects {text} cannot be told "
        "from what is stated",
        found=figure("device before the run", device.rating, "A"),
        required=figure("greatest device that its conductors permit", permitted, "A", "<="),
        notes=notes,
    )


def _too_small(case: Case, limits: Limits) -> list[Answer]:
    device = served(case)
    if case.supply.separately_derived is not None or not device.there.holds:
        return []
    advice = []
    for run in case.supply.runs.items[:-1]:
        conductors = conductors_of_run(run)
        found = ampacity_as_installed(conductors, terminals(case, device.rating))
        small = within(device.rating, greatest_rating(measured(found), limits))
        if small.fails:
            advice.append(
                advise(
                    f"conductors farther from the panelboard have an ampacity of {spread(found, 'A')}, less than the "
                    f"device of {spread(device.rating, 'A')} that is served through them permits; that is in order "
                    "where they are the utility's or have a device of their own",
                    small,
                    notes=Notes(subject=run.at, remedy="state whose they are, and what protects them"),
                )
            )
    return advice
