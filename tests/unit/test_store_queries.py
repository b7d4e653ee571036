import re
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from collector.store import queries
from collector.store.migrations import migrate
from collector.store.queries import READING, UPKEEP, VERIFYING, WRITING, parse_queries

ALL = [
    ("writing", WRITING),
    ("reading", READING),
    ("upkeep", UPKEEP),
    ("verifying", VERIFYING),
]
EVERY_QUERY = [pytest.param(sql, id=name) for _, found in ALL for name, sql in found.items()]


@pytest.fixture
def tables() -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    migrate(connection, 1)
    yield connection
    connection.close()


def plan(connection: sqlite3.Connection, sql: str, how: str) -> str:
    named = dict.fromkeys(re.findall(r":([a-z_]+)", sql))
    values = named or (None,) * sql.count("?")
    return "\n".join(str(row) for row in connection.execute(f"{how} {sql}", values).fetchall())


@pytest.mark.parametrize("sql", EVERY_QUERY)
def test_every_query_fits_the_schema(tables: sqlite3.Connection, sql: str) -> None:
    assert plan(tables, sql, "EXPLAIN")


@pytest.mark.parametrize(
    "name",
    [
        "lot_events",
        "bench_events",
        "kind_events",
        "events_after",
        "alarm_events",
        "lot",
        "numbered_lots",
        "recipe",
        "readings",
        "nth_reading_us",
        "last_reading_us",
        "last_judged_us",
        "blocks_back",
        "blocks",
        "last_sealed_us",
    ],
)
def test_a_query_for_a_part_does_not_go_through_the_whole_table(
    tables: sqlite3.Connection, name: str
) -> None:
    steps = plan(tables, READING[name], "EXPLAIN QUERY PLAN")
    assert "SEARCH" in steps
    assert not re.search(r"SCAN (event|reading|block|lot|recipe|alarm_event)\b", steps)


@pytest.mark.parametrize("name", sorted(UPKEEP.keys() - {"channels", "spared_spans", "add_block"}))
def test_upkeep_does_not_go_through_all_readings_or_blocks(
    tables: sqlite3.Connection, name: str
) -> None:
    steps = plan(tables, UPKEEP[name], "EXPLAIN QUERY PLAN")
    assert "SEARCH" in steps
    assert not re.search(r"SCAN (reading|block)\b", steps)


def test_old_blocks_are_found_in_their_index_alone(tables: sqlite3.Connection) -> None:
    steps = plan(tables, UPKEEP["oldest_blocks"], "EXPLAIN QUERY PLAN")
    assert "COVERING INDEX block_by_age" in steps
    assert "TEMP B-TREE" not in steps


def test_readings_come_in_order_without_sorting(tables: sqlite3.Connection) -> None:
    assert "TEMP B-TREE" not in plan(tables, READING["readings"], "EXPLAIN QUERY PLAN")


@pytest.mark.parametrize(("file", "found"), ALL)
def test_every_query_of_a_file_is_used(file: str, found: Mapping[str, str]) -> None:
    folder = Path(queries.__file__).parent
    source = "".join(path.read_text("utf-8") for path in folder.glob("*.py"))
    assert [name for name in found if f'"{name}"' not in source] == [], file


def test_a_query_is_known_by_its_name_without_its_description() -> None:
    text = "-- name: first\n-- Says one.\nSELECT 1;\n\n-- name: second\n-- Says two.\nSELECT\n 2;\n"
    assert parse_queries(text) == {"first": "SELECT 1;", "second": "SELECT\n 2;"}


def test_a_query_without_a_description_is_refused() -> None:
    with pytest.raises(ValueError, match="query bare has no description"):
        parse_queries("-- name: bare\nSELECT 1;\n")


def test_two_queries_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="two queries named twin"):
        parse_queries("-- name: twin\n-- One.\nSELECT 1;\n-- name: twin\n-- Two.\nSELECT 2;\n")
