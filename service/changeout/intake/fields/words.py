"""Members that are words of a closed list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar, Unpack

from marshmallow import ValidationError

from changeout.domain import facts
from changeout.domain.vocabulary import CONDUCTOR_SIZES
from changeout.intake.fields.member import Member, Options
from changeout.intake.flaws import Flaw, refusal_of
from changeout.intake.suggestions import likely_word, plain_word


class Word(Member):
    """One word of a closed list. ``taken`` is the word that counts when the member is left out."""

    fact: ClassVar[type | None] = facts.Choice
    other_spellings: ClassVar[Mapping[str, str]] = {}

    def __init__(
        self, said: Mapping[str, str], words: tuple[str, ...], taken: str | None = None, **options: Unpack[Options]
    ) -> None:
        """Keep the list, and what is taken when nothing is said."""
        super().__init__(said, **options)
        self.words = words
        self.taken = taken
        self._known = frozenset(words)

    def take(self, value: object) -> str:
        """Return the word as it is."""
        if type(value) is not str:
            raise refusal_of("wrong-type", self, value)
        if value not in self._known:
            raise refusal_of("not-in-list", self, value)
        return value

    @property
    def expected(self) -> str:
        """What is expected."""
        return f"one of {', '.join(self.words)}"

    def explain(self, code: str, value: object) -> tuple[str, str | None]:
        """Return what was expected and, where only the spelling is off, the word."""
        suggestion = likely_word(str(value), self.words, self.other_spellings) if code == "not-in-list" else None
        return super().explain(code, value)[0], suggestion


class Size(Word):
    """A conductor size."""

    fact = facts.ConductorSize
    other_spellings: ClassVar[Mapping[str, str]] = {
        spelling: size
        for size in CONDUCTOR_SIZES
        for number in [plain_word(size.split(" ")[0])]
        for spelling in (number, f"{number}mcm", f"{number}awg", f"{number}kcmil")
    }

    def __init__(self, said: Mapping[str, str], **options: Unpack[Options]) -> None:
        """Take the list of all sizes."""
        super().__init__(said, CONDUCTOR_SIZES, **options)

    @property
    def expected(self) -> str:
        """What is expected."""
        return 'a conductor size from "14 AWG" to "4/0 AWG" or from "250 kcmil" to "2000 kcmil", such as "4/0 AWG"'


class Words(Member):
    """Several words of a closed list, none of them twice."""

    fact = facts.Choices

    def __init__(self, said: Mapping[str, str], words: tuple[str, ...], **options: Unpack[Options]) -> None:
        """Keep the list."""
        super().__init__(said, **options)
        self.one = Word(said, words)

    def take(self, value: object) -> tuple[str, ...]:
        """Return the words in the order given."""
        if not isinstance(value, list):
            raise refusal_of("wrong-type", self, value)
        errors: dict[int, object] = {}
        taken: list[str] = []
        for index, item in enumerate(value):
            try:
                word = self.one.take(item)
            except ValidationError as error:
                errors[index] = error.messages
                continue
            if word in taken:
                errors[index] = [Flaw("not-unique", self, item)]
            taken.append(word)
        if errors:
            raise ValidationError(errors)
        return tuple(taken)

    @property
    def expected(self) -> str:
        """What is expected."""
        words = self.one.words
        return f'a list of different words of {", ".join(words)}, such as ["{words[0]}"]'
