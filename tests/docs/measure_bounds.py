"""Measures how often what cannot be told yet can still go both ways.

``python tests/docs/measure_bounds.py`` writes the tables of ``service/changeout/docs/bounds.md`` again; a test compares
them with what stands there. A finding goes both ways where two completions of the proposal give it different definite answers:
answers to what it misses are tried together, at random and at the ends of every range, then whole proposals.
"""

from __future__ import annotations

import json
import random
import re
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from changeout.application.service import Service
from changeout.domain.facts import ConductorSize
from changeout.domain.findings import Answer, Outcome
from changeout.intake import ranges as physical
from changeout.review.engine import judge
from changeout.review.settling import Settling
from changeout.tables.conductors import SIZES
from properties.part_known import MEMBERS, SAYS_BY_ABSENCE, Completion, members_of, outcomes_under, without
from properties.test_completions import EXCEPTIONS, STAYS
from properties.test_trials_of_facts import trials_of

PAGE = Path(__file__).parents[2] / "service" / "changeout" / "docs" / "bounds.md"

SAMPLES = 900
COMPLETIONS = 40
MEMBERS_APART = 16
"""Of the members of an example every so manieth is left out by itself."""

ONE_WAY = {
    "branch-breaker-interrupting-rating": "where no circuits are listed, a violation takes a list that the sample seldom "
    "draws",
    "breakers-suitable-for-panelboard": "where no circuits are listed, a violation takes a list that the sample seldom "
    "draws",
    "branch-conductor-ampacity": "no conductor of 8 AWG or larger is too small for a breaker of 30 A or less, and smaller "
    "ones are another rule's: the finding is satisfied or does not apply, and says which only once the size is known",
    "ev-supply-equipment-load": "what is calculated here counts its chargers, so that only whether there are any is open",
    "interconnected-source-breaker-position-and-label": "a violation takes a source on the load side, away from the "
    "opposite end, on a busbar that needs it there: the sample seldom meets one",
    "load-method-allowed-for-this-proposal": "its answers are advice and satisfied only, which the sample seldom meets",
    "poles-within-marked-maximum": "a violation takes a list of more circuits than the three that the sample draws at most",
    "replacement-interior-identified-at-or-below-10-ka": "satisfied takes a document, which is named and cannot be made up",
    "replacement-interior-listed-for-enclosure": "satisfied takes a document, which is named and cannot be made up",
    "service-disconnect-minimum-rating": "whichever main or method is stated, it holds or another rule answers: the rule "
    "says so only once it is known",
    "supply-side-source-sum": "it takes a source ahead of the panelboard with an output: the sample seldom meets one",
    "termination-temperature-limit": "a violation takes conductors that are large enough in a hotter column only: where "
    "breaker and size leave none, the finding is satisfied or does not apply, and says which only once they are known",
    "existing-dwelling-added-load": "a violation takes an added load within a narrow range: the sample seldom meets one",
    "measured-demand-method": "a violation takes a record and a demand that exceeds: the sample seldom meets both",
    "calculated-load-within-main-and-service": "a violation takes a load within a narrow range: the sample seldom meets one",
    "panelboard-rating-at-least-calculated-load": "a violation takes a load in a narrow range: the sample seldom meets one",
    "dwelling-general-lighting-density": "a violation takes a stated load that the lighting lifts over a rating: the "
    "sample seldom meets one",
    "small-conductor-overcurrent-limit": "a violation takes a list of circuits that the sample seldom draws",
}
"""Rules of which no two completions that disagree were found, with the reason."""


def proposals(service):
    """Incomplete proposals by name: the half-known example, single members left out, and several at once."""
    for name in service.examples():
        original = json.loads(service.example(name))
        members = members_of(original)
        yield name, original, original
        for member in members[len(name) % MEMBERS_APART :: MEMBERS_APART]:
            yield name, original, without(original, [member])
        for several in (10, 40):
            yield name, original, without(original, random.Random(f"{name} {several}").sample(members, several))


def answered(trials, settling, finding):
    """Possible answers to what a finding misses, and to what it misses next once that is answered."""
    answers = {p: every(a) for p in finding[2] if (a := settling.answers(p))}
    for pick in (0, -1, 1):
        if answers:
            trial = trials.with_facts(*[a[pick % len(a)] for a in answers.values()])
            more = missing_of(trial.case, trials.ruleset, finding)
            answers |= {p: every(a) for p in more if p not in answers and (a := settling.answers(p))}
    return answers


def missing_of(case, ruleset, finding):
    """What a rule misses of a subject."""
    rule = ruleset.rules[finding[0]]
    found = rule.check(case, ruleset.limits[rule.id])
    answers = (found,) if isinstance(found, Answer) else found
    return [p for a in answers if (a.subject or rule.about) == finding[1] for p in a.missing]


def ways(trials, settling, finding, rng):
    """The definite answers that were reached by answering what a finding misses."""
    answers = answered(trials, settling, finding)
    reached = set()
    for turn in range(SAMPLES if answers else 0):
        facts = [a[turn - 1] if turn < 2 else rng.choice(a) for a in answers.values()]
        reached.add(kind(trials.with_facts(*facts).outcome(*finding[:2])))
        if len(reached - {None}) > 1:
            break
    return reached - {None}


def every(answers):
    """The answers, of a conductor size every one there is."""
    first = answers[0]
    return tuple(ConductorSize(first.at, size) for size in SIZES) if isinstance(first, ConductorSize) else answers


def kind(outcome):
    """What an outcome says: good or not applicable alike; nothing where it is open still."""
    if outcome is Outcome.UNDETERMINED:
        return None
    return "good" if outcome in {Outcome.SATISFIED, Outcome.NOT_APPLICABLE} else outcome.value


def undetermined(trials):
    """Rule, subject and missing members of each undetermined finding."""
    return [
        (f.rule, f.subject, f.missing) for f in judge(trials.case, trials.ruleset) if f.outcome is Outcome.UNDETERMINED
    ]


def measured(service):
    """For each rule: how many undetermined findings there were, and how many of them go both ways."""
    found, both = Counter(), Counter()
    seen = set()
    for name, original, part in proposals(service):
        trials = trials_of(part)
        settling = Settling(trials, MEMBERS)
        left = []
        for finding in undetermined(trials):
            if (name, finding) in seen:
                continue
            seen.add((name, finding))
            found[finding[0]] += 1
            reached = ways(trials, settling, finding, random.Random(f"{name} {finding}"))
            if len(reached) > 1:
                both[finding[0]] += 1
            else:
                left.append((finding, reached))
        completion = Completion(random.Random(f"{name} {left}"), original)
        for rule in both_by_completion(service, completion, part, left):
            both[rule] += 1
    return found, both


def both_by_completion(service, completion, part, left):
    """The rules of findings, of those left, that go both ways over completions of the whole proposal."""
    for _ in range(COMPLETIONS if left else 0):
        read = completion.read(part)
        if read is None:
            continue
        outcomes = outcomes_under(service, read)
        for (rule, subject, _), reached in left:
            of_rule = [o for (r, _), o in outcomes.items() if r == rule]
            now = outcomes.get((rule, subject), min(of_rule, key=list(Outcome).index))
            reached.update({kind(now)} - {None})
    return [finding[0] for finding, reached in left if len(reached) > 1]


def lines(found, both):
    """The table, a line each."""
    total, ways_both = sum(found.values()), sum(both.values())
    yield "| undetermined findings | go both ways | share |"
    yield "|---|---|---|"
    yield f"| {total} | {ways_both} | {100 * ways_both / total:.1f} % |"
    yield ""
    short = [rule for rule in sorted(found) if both[rule] < found[rule]]
    if short:
        yield "| rule | undetermined | go both ways |"
        yield "|---|---|---|"
        yield from (f"| `{rule}` | {found[rule]} | {both[rule]} |" for rule in short)


def ranges():
    """The physical range of every number that a proposal may state."""
    yield "| what | range |"
    yield "|---|---|"
    for name, bounds in vars(physical).items():
        if isinstance(bounds, physical.Bounds):
            yield f"| {name.lower().replace('_', ' ')} | {bounds.words} |"
    for unit, bounds in physical.LOADS.items():
        yield f"| load in {unit} | {bounds.words} |"


def absence():
    """The members that say something by being left out."""
    yield "| member | what is said |"
    yield "|---|---|"
    yield from (f"| `{member}` | {said} |" for member, said in SAYS_BY_ABSENCE.items())


def moves():
    """The definite answers that may move on, to what, and why."""
    yield "| rule | says | may become | why |"
    yield "|---|---|---|---|"
    for (rule, outcome), (allowed, why) in EXCEPTIONS.items():
        further = ", ".join(sorted(o.value for o in allowed - STAYS[outcome]))
        yield f"| `{rule}` | {outcome.value} | {further} | {why} |"


def reasons():
    """Why findings of some rules are not seen to go both ways."""
    yield "| rule | why |"
    yield "|---|---|"
    yield from (f"| `{rule}` | {why} |" for rule, why in sorted(ONE_WAY.items()))


def tables(found, both):
    """Every table of the page by its mark."""
    made = {"ranges": ranges(), "absence": absence(), "moves": moves(), "reasons": reasons()}
    return {name: "\n".join(table) for name, table in {**made, "measured": lines(found, both)}.items()}


def between(name):
    """The pattern of a table between its marks: the mark before, the table, the mark after."""
    return re.compile(rf"(<!-- {name} -->\n)(.*?)(\n<!-- /{name} -->)", re.DOTALL)


if __name__ == "__main__":
    text = PAGE.read_text("utf-8")
    for name, table in tables(*measured(Service.load())).items():
        text = between(name).sub(lambda found, table=table: found[1] + table + found[3], text)
    PAGE.write_text(text, "utf-8")
