"""Pictures of a proposal, made as SVG without a script: each with a title and a description that say the same."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.proposal import Proposal
from changeout.render.page import Picture
from changeout.render.pictures.layout import circuit_layout
from changeout.render.pictures.load import load_chart
from changeout.render.pictures.one_line import one_line_diagram
from changeout.render.pictures.ratings import ratings_chart


def _layout(proposal: Proposal, _: Sequence[Calculation], *, stands_alone: bool = False) -> str:
    return circuit_layout(proposal, stands_alone=stands_alone)


Draws = Callable[..., str]

PICTURES: Final[Mapping[str, Draws]] = {
    "one-line": one_line_diagram,
    "ratings": ratings_chart,
    "load": load_chart,
    "circuits": _layout,
}
"""What can be drawn, by name: functions of a proposal and its calculations, with ``stands_alone``."""

_CAPTIONS: Final = {
    "one-line": "The supply as described, from its source to the panelboard. Dashed and grey: not stated.",
    "ratings": "Ratings against the fault current available at the panelboard.",
    "load": "The calculated load against the ratings of main and busbar.",
    "circuits": "The circuits by position. Dashed: no circuit is stated there.",
}


def pictures_of(proposal: Proposal, calculations: Sequence[Calculation]) -> tuple[Picture, ...]:
    """Return all pictures for a page; those of a calculation need its being there."""
    return tuple(
        Picture(svg=draws(proposal, calculations), caption=_CAPTIONS[name]) for name, draws in PICTURES.items()
    )
