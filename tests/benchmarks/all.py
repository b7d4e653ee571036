"""All benchmarks, one after the other, and one table of what they found.

    python tests/benchmarks/all.py

Each runs in a fresh process, so that none warms or fills the memory of the next.
"""

import multiprocessing
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor

import alarm_latency
import at_rest
import backup_commits
import browser_cost
import curve_time
import influx_beside
import replay_speed
import sealed_size
import start_time
import store_commit
import whole_path
import year
from figures import Figure, table

MEASURES: tuple[Callable[[], Sequence[Figure]], ...] = (
    store_commit.measure,
    sealed_size.measure,
    backup_commits.measure,
    whole_path.measure,
    replay_speed.measure,
    curve_time.measure,
    start_time.measure,
    at_rest.measure,
    alarm_latency.measure,
    browser_cost.measure,
    year.measure,
    influx_beside.measure,
)


def main() -> int:
    """Print the table; 1 where a budget is broken."""
    fresh = multiprocessing.get_context("spawn")
    figures: list[Figure] = []
    with ProcessPoolExecutor(1, mp_context=fresh, max_tasks_per_child=1) as process:
        for measure in MEASURES:
            sys.stderr.write(f"{measure.__module__} ...\n")
            figures += process.submit(measure).result()
    sys.stdout.write(table(figures))
    return 0 if all(figure.kept for figure in figures) else 1


if __name__ == "__main__":
    sys.exit(main())
