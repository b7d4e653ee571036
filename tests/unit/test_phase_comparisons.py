"""A journal that was read back holds plain text where the live one held a `Phase`.

Both are equal and only one of them is the member, so that a phase compared by identity judges a
lot otherwise when it is judged again.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from collector.events import decode, encode
from collector.lot_events import PhaseMarked
from collector.phases import Edge, Phase

ROOT = Path(__file__).resolve().parents[2]
SOURCES = sorted(file for part in ("collector", "api") for file in (ROOT / part).rglob("*.py"))


def is_a_phase(node: ast.expr) -> bool:
    """Tell whether an operand is `Phase.X`, or something that is called a phase."""
    match node:
        case ast.Attribute(value=ast.Name(id="Phase")):
            return True
        case ast.Attribute(attr=name) | ast.Name(id=name):
            return name == "phase" or name.endswith("_phase")
    return False


def by_identity(source: str) -> Iterator[int]:
    """Give the lines on which a phase is compared by `is` or `is not`, but with None."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Compare):
            continue
        operands = [node.left, *node.comparators]
        for left, operator, right in zip(operands, node.ops, operands[1:], strict=False):
            none = any(isinstance(o, ast.Constant) and o.value is None for o in (left, right))
            identity = isinstance(operator, ast.Is | ast.IsNot)
            if identity and not none and (is_a_phase(left) or is_a_phase(right)):
                yield node.lineno


def test_a_phase_read_back_is_equal_and_not_the_member() -> None:
    marked = PhaseMarked(at_us=1, bench="b", lot="1", phase=Phase.STIR, edge=Edge.BEGIN)
    back = decode(encode(marked))
    assert isinstance(back, PhaseMarked)
    assert back.phase == Phase.STIR
    assert back.phase is not Phase.STIR


@pytest.mark.parametrize(
    ("source", "lines"),
    [
        ("x is Phase.STIR", [1]),
        ("\nPhase.POUR is not run.current", [2]),
        ("event.phase is other", [1]),
        ("a < own_phase is b", [1]),
        ("event.phase is None", []),
        ("x == Phase.STIR and x in (Phase.POUR,)", []),
        ("mark.edge is Edge.END", []),
    ],
)
def test_a_comparison_by_identity_is_found(source: str, lines: list[int]) -> None:
    assert list(by_identity(source)) == lines


@pytest.mark.parametrize("file", SOURCES, ids=lambda file: str(file.relative_to(ROOT)))
def test_no_phase_is_compared_by_identity(file: Path) -> None:
    assert list(by_identity(file.read_text(encoding="utf-8"))) == []
