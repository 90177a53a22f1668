"""Lists, draws and counts the mutants of a work copy: run in it, after mutmut has written them.

A mutant is *words* where what it changes is only read by people (see ``is_words``), *beside* where it only changes what
goes beside a decision (which members a finding lists as read, which documents it names, the kind of advice; see
``is_beside``), and else a *decision*.
"""

from __future__ import annotations

import argparse
import ast
import itertools
import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

WORDS = frozenset({
    "yes", "no", "unknown", "otherwise", "message", "remedy", "cautions", "condition", "because", "reason", "assumption",
    "name", "title", "symbol", "unit", "source", "purpose", "written", "limit_name", "text", "words",
})  # fmt: skip
"""Arguments that hold words for people; a variable of such a name does where it is given a text."""
SPEAKING = {
    "advise": (0,),
    "not_applicable": (0,),
    "arranged": (0, 1),
    "sentence": (0,),
    "words": (0, 1, 2),
    "figure": (0, 2),
    "step": (0, 1, 2, 4, 5),
    "remark": (0, 1, 2, 3),
    "ValueError": (0,),
    "TypeError": (0,),
    "uncapitalised": (0,),
    "amount": (1,),
    "spread": (1,),
}
"""Functions and the positions of their arguments that hold words for people."""
SPEAKING_FUNCTION = re.compile(r"_(in_words|words|cautions?|caution|written)__mutmut_orig$")
"""Functions that make nothing but words."""
SPEAKING_MODULES = frozenset({"changeout.electrical.fault_current_remarks"})
"""Modules that make nothing but words."""
BESIDE = frozenset({"rests_on", "inputs", "documents", "basis", "advice"})
"""Arguments that hold what goes beside a decision."""
LISTING = frozenset({"advise", "not_applicable", "arranged"})
"""Functions whose further positional arguments are only listed as read."""
Step = tuple[ast.AST, ast.AST, str, int | None]
"""A node before and after, the field of its parent that holds it, and its place in a list."""
KILLED = frozenset({1, 3})
TIMED_OUT = frozenset({36, 24, -24, 152, 255})


@dataclass(frozen=True)
class Mutant:
    name: str
    module: str
    kind: str
    line: str
    change: str
    code: int | None


@dataclass(frozen=True)
class Written:
    """A mutant as the tool wrote it: its name, the exit code of its run, and the functions of its module."""

    name: str
    code: int | None
    functions: dict[str, ast.FunctionDef]

    @property
    def module(self) -> str:
        return self.name.rpartition(".")[0]

    def told(self) -> Mutant:
        """Says what was changed, and so what kind it is."""
        function = self.name.rpartition(".")[2]
        original = self.functions[function.rpartition("__mutmut_")[0] + "__mutmut_orig"]
        kind, before, after = difference(original, self.functions[function])
        kind = "words" if self.module in SPEAKING_MODULES else kind
        return Mutant(self.name, self.module, kind, before, after, self.code)


def written() -> Iterator[Written]:
    for meta in sorted(Path("mutants/src").rglob("*.meta")):
        codes = json.loads(meta.read_text("utf-8"))["exit_code_by_key"]
        functions = _functions(ast.parse(meta.with_suffix("").read_text("utf-8")))
        for name, code in codes.items():
            yield Written(name, code, functions)


def _functions(tree: ast.Module) -> dict[str, ast.FunctionDef]:
    return {n.name: n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)}


def difference(original: ast.FunctionDef, mutated: ast.FunctionDef) -> tuple[str, str, str]:
    """The kind of the change, and the smallest statement or expression that holds it, before and after."""
    path: list[Step] = []
    _descend(original, mutated, path)
    kind = "decision"
    if SPEAKING_FUNCTION.search(original.name) or is_words(path, _spoken_names(original)):
        kind = "words"
    elif is_beside(path):
        kind = "beside"
    before, after = next((a, b) for a, b, _, _ in reversed(path) if isinstance(a, ast.expr | ast.stmt))
    where = [_called(a) for a, _, _, _ in path if isinstance(a, ast.Call) and a is not before]
    return kind, (f"in {where[-1]}(…): " if where else "") + _text(before), _text(after)


def _text(node: ast.AST) -> str:
    if isinstance(node, ast.If | ast.For | ast.While):
        node = node.test if isinstance(node, ast.If | ast.While) else node.iter
    return " ".join(ast.unparse(node).split())[:160]


def _descend(a: ast.AST, b: ast.AST, path: list[Step]) -> None:
    if type(a) is not type(b):
        return
    for field in a._fields:
        if field == "name" and isinstance(a, ast.FunctionDef):
            continue
        one, two = getattr(a, field, None), getattr(b, field, None)
        ones, twos = (one, two) if isinstance(one, list) and isinstance(two, list) else ([one], [two])
        if len(ones) != len(twos):
            gone = next(
                (i for i, (x, y) in enumerate(zip(ones, twos, strict=False)) if _dump(x) != _dump(y)), len(twos)
            )
            path.append((ones[gone] if len(ones) > gone else a, ast.Constant("(left out)"), field, gone))
            if isinstance(path[-1][0], ast.keyword):
                path.append((path[-1][0].value, ast.Constant("(left out)"), "value", None))
            return
        for place, (x, y) in enumerate(zip(ones, twos, strict=True)):
            if _dump(x) != _dump(y):
                if isinstance(x, ast.AST) and isinstance(y, ast.AST):
                    path.append((x, y, field, place))
                    _descend(x, y, path)
                return


def _dump(node: object) -> str:
    return ast.dump(node) if isinstance(node, ast.AST) else repr(node)


def is_words(path: list[Step], spoken: frozenset[str]) -> bool:
    """Whether the change lies in an argument or a name that holds words, or in a literal with a space in it.

    *spoken* are the local names that are used nowhere but in words.
    """
    above: ast.AST | None = None
    for node, _, field, place in path:
        if _speaks(above, node, field, place, spoken):
            return True
        above = node
    last = path[-1][0]
    return isinstance(last, ast.Constant) and isinstance(last.value, str) and " " in last.value


def _speaks(above: ast.AST | None, node: ast.AST, field: str, place: int | None, spoken: frozenset[str]) -> bool:
    if isinstance(node, ast.keyword) and node.arg in WORDS:
        return True
    if field == "args" and isinstance(above, ast.Call) and place in SPEAKING.get(_called(above), ()):
        return True
    if isinstance(node, ast.Assign):
        names = _assigned(node)
        return bool(names) and (names <= spoken or (_is_text(node.value) and names <= WORDS))
    return isinstance(node, ast.JoinedStr) or _speaks_by_itself(node)


def _speaks_by_itself(node: ast.AST) -> bool:
    """Whether this makes words: a figure that is a text, remedies and cautions and nothing else."""
    shown = isinstance(node, ast.Call | ast.IfExp) and _is_text(node)
    return shown or _is_bundle(node, WORDS)


def _assigned(node: ast.Assign) -> set[str]:
    return {n.id for target in node.targets for n in ast.walk(target) if isinstance(n, ast.Name)}


@cache
def _spoken_names(function: ast.AST) -> frozenset[str]:
    """The local names of a function that are read nowhere but in words."""
    stored = {n.id for n in ast.walk(function) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
    spoken: frozenset[str] = frozenset()
    while True:
        silent = _read_silently(None, function, "", None, spoken)
        found = frozenset(stored - silent)
        if found == spoken:
            return spoken
        spoken = found


def _read_silently(above: ast.AST | None, node: ast.AST, field: str, place: int | None, spoken: frozenset[str]) -> set:
    if above is not None and _speaks(above, node, field, place, spoken):
        return set()
    if isinstance(node, ast.Name):
        return {node.id} if isinstance(node.ctx, ast.Load) else set()
    found: set[str] = set()
    for name, value in ast.iter_fields(node):
        for index, child in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(child, ast.AST):
                found |= _read_silently(node, child, name, index, spoken)
    return found


def _is_bundle(node: ast.AST, of: frozenset[str]) -> bool:
    made = isinstance(node, ast.Call) and _called(node) == "Notes"
    return made and all(k.arg in of for k in node.keywords)


def is_beside(path: list[Step]) -> bool:
    """Whether the change only moves which members or documents a finding lists, or the kind of an advice."""
    above: ast.AST | None = None
    for node, after, field, place in path:
        if isinstance(node, ast.keyword) and node.arg in BESIDE:
            return True
        if field == "args" and isinstance(above, ast.Call) and _called(above) in LISTING and place:
            return True
        if isinstance(after, ast.Constant) and (_is_bundle(node, BESIDE | WORDS) or _lists_inputs(node)):
            return True
        above = node
    return False


def _lists_inputs(node: ast.AST) -> bool:
    """Whether this is a list of the members that were read, or the notes that go with an answer."""
    if isinstance(node, ast.Starred):
        return _lists_inputs(node.value)
    if isinstance(node, ast.GeneratorExp):
        return _lists_inputs(node.elt)
    if isinstance(node, ast.Call) and _called(node) == "merged":
        return all(_lists_inputs(argument) for argument in node.args)
    return _called(node) in {"inputs", "notes"}


def _called(node: ast.AST) -> str:
    node = node.func if isinstance(node, ast.Call) else node
    return node.id if isinstance(node, ast.Name) else getattr(node, "attr", "")


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _is_text(node: ast.AST) -> bool:
    if isinstance(node, ast.IfExp):
        return _is_text(node.body) and (_is_text(node.orelse) or _is_none(node.orelse))
    if isinstance(node, ast.Call):
        return _called(node) == "words"
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def draw(number: int, seed: int) -> list[str]:
    """Mutants that were not run and are no words: all of them, or a number of decisions, each as likely as any other."""
    fresh = sorted((one for one in written() if one.code is None), key=lambda one: one.name)
    if not number:
        return [one.name for one in fresh if one.told().kind != "words"]
    random.Random(seed).shuffle(fresh)
    decisions = (one.name for one in fresh if one.told().kind == "decision")
    return list(itertools.islice(decisions, number))


def typed(left: list[Mutant]) -> set[str]:
    """Those of the mutants that the type checker refuses: each is put beside its original, and the whole is checked."""
    root = Path(tempfile.mkdtemp())
    shutil.copytree("decorated/changeout", root / "changeout")
    by_module: dict[str, list[Mutant]] = defaultdict(list)
    for mutant in left:
        by_module[mutant.module].append(mutant)
    place: dict[tuple[str, int], str] = {}
    for module, its in by_module.items():
        path = Path(*module.split("."))
        path = path / "__init__.py" if (root / path).is_dir() else path.with_suffix(".py")
        functions = _functions(ast.parse((Path("mutants/src") / path).read_text("utf-8")))
        tree = ast.parse((root / path).read_text("utf-8"))
        classes = {n.name: n for n in tree.body if isinstance(n, ast.ClassDef)}
        wanted = {m.name.rpartition(".")[2] for m in its}
        wanted |= {name.rpartition("__mutmut_")[0] + "__mutmut_orig" for name in wanted}
        for name in sorted(wanted):
            body = classes[name.split("ǁ")[1]].body if "ǁ" in name else tree.body
            body.append(functions[name])
        text = ast.unparse(tree)
        (root / path).write_text(text, "utf-8")
        for function in _functions(ast.parse(text)).values():
            if function.name in wanted:
                for line in range(function.lineno, (function.end_lineno or function.lineno) + 1):
                    place[str(path), line] = f"{module}.{function.name}"
    command = [
        sys.executable,
        "-m",
        "mypy",
        "--strict",
        "--ignore-missing-imports",
        "--cache-dir",
        str(root / ".cache"),
    ]
    done = subprocess.run([*command, "-p", "changeout"], cwd=root, capture_output=True, text=True, check=False)
    wrong = {
        place[m[1], int(m[2])]
        for m in re.finditer(r"^(\S+\.py):(\d+): error:", done.stdout, re.MULTILINE)
        if (m[1], int(m[2])) in place
    }
    shutil.rmtree(root)
    return {w for w in wrong if w.rpartition("__mutmut_")[0] + "__mutmut_orig" not in wrong}


def report() -> str:
    everything = list(written())
    run = [one.told() for one in everything if one.code is not None]
    caught = typed([m for m in run if m.code not in KILLED | TIMED_OUT])
    tally: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    left: list[Mutant] = []
    for mutant in run:
        result = (
            "killed" if mutant.code in KILLED
            else "timed out" if mutant.code in TIMED_OUT
            else "refused" if mutant.name in caught
            else "survived"
        )  # fmt: skip
        tally[".".join(mutant.module.split(".")[:2]), mutant.kind][result] += 1
        if result == "survived":
            left.append(mutant)
    results = ("killed", "timed out", "refused", "survived")
    lines = [f"{len(run)} run of {len(everything)} mutants, words included"]
    lines += ["package              kind           run  killed timed-out  refused survived  score"]
    for (package, kind), count in sorted(tally.items()):
        shown = "".join(f"{count[r]:9}" for r in results)
        lines.append(f"{package:20} {kind:10} {count.total():7} {shown}  {1 - count['survived'] / count.total():.1%}")
    lines += ["", "survivors:"]
    lines += [
        f"{m.kind:8} {m.name}{' (no test)' if m.code in (5, 33) else ''}\n    - {m.line}\n    + {m.change}"
        for m in left
    ]
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("command", choices=("draw", "report"))
    parser.add_argument("--sample", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    if options.command == "draw":
        sys.stdout.write("\n".join(draw(options.sample, options.seed)) + "\n")
    else:
        sys.stdout.write(report() + "\n")


if __name__ == "__main__":
    main()
