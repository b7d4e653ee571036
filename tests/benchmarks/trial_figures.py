"""The figures of a trial: scores of lots added up, as a document and as a table."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import fields
from typing import Any

from trial_score import PHASES, Score

Document = dict[str, Any]
SHOWN = 4


def added(scores: Iterable[Score]) -> Score:
    """Return the sum of scores."""
    total = Score()
    for score in scores:
        for item in fields(Score):
            old, new = getattr(total, item.name), getattr(score, item.name)
            if isinstance(old, dict):
                for key, count in new.items():
                    old[key] += count
            elif isinstance(old, bool):
                setattr(total, item.name, old or new)
            else:
                setattr(total, item.name, old + new)
    return total


def document_of(total: Score, seed: int) -> Document:
    """Return the figures; a share of nothing is null."""
    delays = [fault.delay_s for fault in total.faults if fault.delay_s is not None]
    etas = total.etas
    return {
        "lots": total.lots,
        "seed": seed,
        "phases": {
            name: {
                "recall": _share(total.recalled[name], total.true_phases[name]),
                "precision": _share(total.precise[name], total.told_phases[name]),
            }
            for name in PHASES
        },
        "weighings_within": _share(total.within, total.weighings),
        "faults_planted": len(total.faults),
        "faults_missed": sum(fault.delay_s is None for fault in total.faults),
        "nuisance_per_lot": _share(len(total.nuisances), total.lots),
        "delay_p95_s": quantile(delays, 0.95),
        "eta_coverage": _share(sum(eta.covered for eta in etas), total.coolings)
        if total.asked
        else None,
        "eta_width_half_way": quantile([eta.width for eta in etas], 0.5),
        "eta_without_answer": total.coolings - len(etas) if total.asked else None,
        "weighing_error_g": {
            name: quantile(total.errors_g, share)
            for name, share in (("p50", 0.5), ("p95", 0.95), ("p99", 0.99))
        },
        "planted_by_kind": counted(fault.kind for fault in total.faults),
        "missed_by_kind": counted(f.kind for f in total.faults if f.delay_s is None),
        "late_by_kind": counted(f.kind for f in total.faults if (f.delay_s or 0.0) > 3.0),
        "nuisance_by_rule": counted(total.nuisances),
    }


def table_of(document: Document) -> str:
    """Return the document as lines for a person."""
    lines = []
    for key, value in document.items():
        if key == "phases":
            lines += [
                f"{name:<22} recall {_text(v['recall'])}  precision {_text(v['precision'])}"
                for name, v in value.items()
            ]
        elif isinstance(value, dict):
            inner = ", ".join(f"{name} {_text(v)}" for name, v in value.items())
            lines.append(f"{key:<22} {inner or '-'}")
        else:
            lines.append(f"{key:<22} {_text(value)}")
    return "\n".join(lines) + "\n"


def counted(names: Iterable[str]) -> dict[str, int]:
    """Return how often each name comes, the most frequent first."""
    return dict(sorted(Counter(names).items(), key=lambda item: (-item[1], item[0])))


def quantile(values: Sequence[float], share: float) -> float | None:
    """Return the value that `share` of the values do not exceed; None without values.

    The nearest rank: the smallest value with at least that share at or below it.
    """
    if not values:
        return None
    rank = max(1, -(-len(values) * share // 1))
    return round(sorted(values)[int(rank) - 1], SHOWN)


def _share(part: int, whole: int) -> float | None:
    return round(part / whole, SHOWN) if whole else None


def _text(value: object) -> str:
    return "-" if value is None else str(value)
