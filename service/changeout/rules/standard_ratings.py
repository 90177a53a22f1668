"""Standard ratings of overcurrent devices."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, Number, certain
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.proposal import MainDevice
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, figure, spread, under
from changeout.rules._registry import Limits, rule
from changeout.tables.overcurrent import lasting_standard_ratings


@rule(
    "standard-device-rating",
    group="busbar-and-protection",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/main/kind",
        "/panelboard/main/rating",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/rating",
        "/panelboard/circuits/*/breaker/rating",
        "/supply/overcurrent_device/kind",
        "/supply/overcurrent_device/rating",
        "/supply/runs/*/device_after/kind",
        "/supply/runs/*/device_after/rating",
    ),
    applies_to="every overcurrent device that is stated",
    parameters={"added_standard_a": "numbers"},
)
def standard_ratings(case: Case, limits: Limits) -> Sequence[Answer]:
    """Every overcurrent device has a standard ampere rating.

    Because: a rating that no list has is a setting, a fuse of another kind, or a slip of the pen: worth a question.
    Passes: when the rating is in the list of the edition; fuses have a few more than breakers.
    Fails: when it is not; only ever said as advice, since an adjustable device may be set to any value.
    Cannot tell: when the rating is not stated, or only fuses have it and the kind of device is not stated.
    """
    breakers = frozenset({*lasting_standard_ratings("breaker"), *limits.numbers("added_standard_a")})
    lists = _Lists(breakers=breakers, fuses=breakers | frozenset(lasting_standard_ratings("fuse")))
    panelboard, ahead = case.panelboard, case.supply.overcurrent_device
    answers = [_main(panelboard.main, "main", lists)]
    if panelboard.second_main is not None:
        answers.append(_main(panelboard.second_main, "second main", lists))
    if ahead is not None:
        fused = ahead.kind.among("fuse")
        answers.append(
            _judged("device ahead of the panelboard", ahead.rating_a, lists.holds(ahead.rating_a, fused), ahead.at)
        )
    answers.extend(_between_runs(case, lists))
    circuits = panelboard.circuits
    if not circuits.stated:
        answers.append(
            Answer(
                judgement=Judgement.UNKNOWN,
                message="Not stated: the circuits, and the ratings of their breakers.",
                missing=circuits.missing,
            )
        )
    for circuit in circuits:
        rating = circuit.breaker.rating_a
        answers.append(_judged("breaker", rating, lists.holds(rating, Claim(Truth.NO)), circuit.at))
    return answers


@value(frozen=True, slots=True, kw_only=True)
class _Lists:
    """The standard ratings of breakers and those of fuses, in amperes."""

    breakers: frozenset[float]
    fuses: frozenset[float]

    def holds(self, rating: Number, fused: Claim) -> Claim:
        """Return the claim that the rating is standard for a device that *fused* says is a fuse."""
        if rating.value is None:
            return Claim(Truth.UNKNOWN, rating.inputs, rating.missing)
        of_breaker, of_fuse = (certain(rating.value in ratings, rating) for ratings in (self.breakers, self.fuses))
        return of_breaker | (fused & of_fuse)


def _between_runs(case: Case, lists: _Lists) -> list[Answer]:
    devices = [run.device_after for run in case.supply.runs if run.device_after is not None]
    return [
        _judged("device after a run", d.rating_a, lists.holds(d.rating_a, d.kind.among("fuse")), d.at) for d in devices
    ]


def _main(main: MainDevice, name: str, lists: _Lists) -> Answer:
    answer = _judged(name, main.rating_a, lists.holds(main.rating_a, main.kind.among("fusible")), main.at)
    return under(~main.kind.among("lugs"), answer, otherwise=f"the {name} is lugs, no device")


def _judged(name: str, rating: Number, standard: Claim, at: str) -> Answer:
    return decide(
        standard,
        yes=f"the {name} has a standard rating ({spread(rating, 'A')})",
        no=f"the rating of the {name} ({spread(rating, 'A')}) is not a standard one: is it the setting of an "
        "adjustable device, or a slip of the pen?",
        unknown=f"whether the {name} has a standard rating cannot be told from what is stated",
        found=figure(f"rating of the {name}", rating, "A"),
        notes=Notes(subject=at, remedy="state the standard rating, or how the device is set"),
    )
