"""A trial: many simulated pours, drawn at random, judged without one mark.

    python -m tests.benchmarks.trial --lots 1000 --seed 7
    python -m tests.benchmarks.trial --seed 7 --show 12    # one lot: what was done, what was told

Makers, habits, instruments, noises and mishaps come from the seed, each lot from a seed of its
own. The instruments' models give the bytes they would send, the service's decoders read them and
`Bench.feed` judges them, all in this process.

How mishaps are planted, and which are not because nothing could show them, is said in
`simulators/chance/faults.py`; how the bench is scored, in `trial_score.py`. Alarms about a vessel
that is off are dated from the display's rest, those about a temperature from the first gram,
those about the stir from the pour, and those about silence from the end of the patience that the
workshop declares.
"""

import argparse
import json
import multiprocessing
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

# With -m only the folder it is started from is searched: the trial's other files are beside it.
sys.path.insert(0, str(Path(__file__).parent))

from trial_figures import added, document_of, table_of
from trial_play import Played, play_lot
from trial_score import Score, score_lot

CHUNK = 5


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the trial; 0 where it ran, whatever it found."""
    options = _parser().parse_args(arguments)
    if options.show is not None:
        show(options.seed, options.show, marks=options.marks)
        return 0
    began_s = time.monotonic()
    scores = play_all(options.seed, options.lots, options.workers, marks=options.marks)
    document = document_of(added(scores), options.seed)
    speed = {"lots_per_s": round(options.lots / (time.monotonic() - began_s), 2)}
    if options.json is not None:
        options.json.write_text(json.dumps(document | speed, indent=2) + "\n", encoding="utf-8")
    if options.failures:
        tell_failures(scores)
    sys.stdout.write(table_of(document | speed))
    return 0


def play_all(seed: int, lots: int, workers: int, *, marks: bool) -> list[Score]:
    """Play and score the lots of a trial, in order of their numbers."""
    one = partial(play_and_score, seed, marks=marks)
    if workers == 1:
        return [one(number) for number in range(1, lots + 1)]
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=fresh) as pool:
        return list(pool.map(one, range(1, lots + 1), chunksize=CHUNK))


def play_and_score(seed: int, number: int, *, marks: bool) -> Score:
    """Play one lot and score it."""
    return scored(play_lot(seed, number, marks=marks))


def scored(played: Played) -> Score:
    """Score a lot that was played."""
    division_g = played.lot.instruments.scale.resolution_g
    return score_lot(played.diary, played.events, division_g, played.forecasts)


def tell_failures(scores: Sequence[Score]) -> None:
    """Print what went wrong, lot by lot."""
    for number, score in enumerate(scores, 1):
        for problem in score.problems:
            sys.stdout.write(f"lot {number}: {problem}\n")


def show(seed: int, number: int, *, marks: bool) -> None:
    """Print one lot: what the maker did beside what the bench concluded."""
    lines: list[tuple[float, str]] = []
    played = play_lot(seed, number, marks=marks, tell=lambda at_s, line: lines.append((at_s, line)))
    plan = played.lot.plan
    sys.stdout.write(f"{plan.recipe.document}\n{plan.habits}\n{played.lot.instruments}\n")
    for at_s, line in lines:
        sys.stdout.write(f"{at_s:8.1f} {line}\n")
    for problem in scored(played).problems:
        sys.stdout.write(f"- {problem}\n")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.trial", description="Many simulated pours, judged."
    )
    parser.add_argument("--lots", type=int, default=100, help="how many")
    parser.add_argument("--seed", type=int, default=7, help="of everything")
    parser.add_argument("--json", type=Path, help="file for the figures")
    parser.add_argument("--workers", type=int, default=2, help="processes")
    parser.add_argument("--marks", action="store_true", help="the makers mark their stirs")
    parser.add_argument("--failures", action="store_true", help="list what went wrong")
    parser.add_argument("--show", type=int, metavar="LOT", help="play one lot and tell all of it")
    return parser


if __name__ == "__main__":
    sys.exit(main())
