"""What a review needs to know of members besides their values; given to it by whoever reads proposals."""

from __future__ import annotations

from typing import Protocol


class Members(Protocol):
    """The members of a proposal by JSON Pointer."""

    def ask(self, pointer: str) -> str:
        """Return the question for a member, with where its answer is found."""

    def unit(self, pointer: str) -> str:
        """Return the base unit of a number, ``count``, ``ratio`` or ``percent`` where it has none."""

    def words(self, pointer: str) -> tuple[str, ...]:
        """Return the words that a member can be, empty where it is no word."""

    def written(self, pointer: str, value: float) -> object:
        """Return a number as a proposal writes it at this member: ``"22 kA"``, ``"31 ft"``, ``1.72``."""

    def label(self, pointer: str) -> str:
        """Return what a member is called, with its place where it lies in a list."""
