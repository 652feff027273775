"""Random single faults in the package, one at a time, in a copy: lists those that no quick test notices.

    .made/venv/bin/python tests/random_faults.py [--faults 20] [--seed 1] [--under mechanics]

Run by hand, not by the checking command. Whoever reads the list decides of each: the same in effect, or a gap that
wants a test. `mutations.py` beside it holds the faults that must be noticed. A fault is one operator, comparison,
number or negation of one expression; the same seed draws the same ones from the same code.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from mutations import CALC, copy_of_the_tree

QUICK = (
    "tests/mechanics",
    "tests/bench",
    "tests/figures",
    "tests/record",
    "tests/widgets",
    "tests/test_command_line.py",
)
MOST_SECONDS = 900
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}
COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}


@dataclass(frozen=True, slots=True)
class RandomFault:
    """One expression of a file and what is put in its place."""

    file: str
    line: int
    start: int
    end: int
    before: str
    after: str

    def put_in(self, text: str) -> str:
        """The file's text with the fault; offsets are of its bytes, as `ast` counts them."""
        lines = text.encode().splitlines(keepends=True)
        row = lines[self.line - 1]
        lines[self.line - 1] = row[: self.start] + self.after.encode() + row[self.end :]
        return b"".join(lines).decode()


def wrong(node: ast.AST) -> ast.expr | None:
    """The expression with one thing wrong in it; None where it has nothing that can be."""
    if isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
        return ast.BinOp(node.left, OPERATORS[type(node.op)](), node.right)
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in COMPARISONS:
        return ast.Compare(node.left, [COMPARISONS[type(node.ops[0])]()], node.comparators)
    if isinstance(node, ast.BoolOp):
        return ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        return node.operand
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
        return ast.Constant(node.value + 1)
    return None


def faults_of(path: Path, root: Path) -> list[RandomFault]:
    """Every fault that can be put into a file, but those in texts and in expressions of several lines."""
    text = path.read_text(encoding="utf-8")
    found = []
    for node in ast.walk(ast.parse(text)):
        after = wrong(node)
        if after is None or not isinstance(node, ast.expr) or node.lineno != node.end_lineno:
            continue
        before = ast.get_source_segment(text, node) or ""
        row = text.splitlines()[node.lineno - 1].encode()
        if row[node.col_offset : node.end_col_offset].decode() != before or 'f"' in row.decode():
            continue
        fault = RandomFault(
            path.relative_to(root).as_posix(),
            *(node.lineno, node.col_offset, node.end_col_offset or 0, before),
            f"({ast.unparse(after)})",
        )
        found.append(fault)
    return found


def is_noticed(fault: RandomFault, tree: Path) -> bool:
    """Put the fault in, run the quick tests until one fails, take it out again; too long counts as noticed."""
    path = tree / fault.file
    text = path.read_text(encoding="utf-8")
    path.write_text(fault.put_in(text), encoding="utf-8")
    room = Path(fault.file).relative_to(CALC).parts[0]
    nearest = [folder for folder in QUICK if folder.endswith(f"/{room}")]
    order = [*nearest, *(folder for folder in QUICK if folder not in nearest)]
    try:
        for folder in order:
            done = subprocess.run(
                [sys.executable, "-m", "pytest", "-x", "-q", "-n", "2", folder],
                cwd=tree,
                env={**os.environ, "PYTHONPATH": str(tree / "calc"), "PYTHONDONTWRITEBYTECODE": "1"},
                capture_output=True,
                timeout=MOST_SECONDS,
            )
            if done.returncode != 0:
                return True
    except subprocess.TimeoutExpired:
        return True
    finally:
        path.write_text(text, encoding="utf-8")
    return False


def main() -> int:
    """Draw, try and list; exit code 0 whatever is found, for the list is to be read."""
    parser = argparse.ArgumentParser(description="Put random single faults into calc/ and list the unnoticed ones.")
    parser.add_argument("--faults", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--under", default="", help="a folder or module of the package, mechanics say")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tree = copy_of_the_tree(Path(folder))
        files = sorted((tree / CALC).rglob("*.py"))
        every = [fault for path in files if asked.under in path.as_posix() for fault in faults_of(path, tree)]
        drawn = random.Random(asked.seed).sample(every, min(asked.faults, len(every)))
        unnoticed = []
        for fault in drawn:
            noticed = is_noticed(fault, tree)
            told = f"{fault.file}:{fault.line}: {fault.before} -> {fault.after}"
            print(f"{'noticed  ' if noticed else 'UNNOTICED'}  {told}", flush=True)
            if not noticed:
                unnoticed.append(told)
    print(f"{len(drawn) - len(unnoticed)} of {len(drawn)} noticed, drawn from {len(every)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
