"""SQL lives in .sql files: each query has a name, a description, and is loaded here.

-- name: last_seq
-- The number of the last event, 0 before the first.
SELECT ...;
"""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

_FOLDER = Path(__file__).parent / "sql"
_NAME = "-- name:"


def parse_queries(text: str) -> dict[str, str]:
    """Return the queries of an .sql file by name.

    Raises ValueError for a query without a description and for a name used twice: both are
    slips of whoever wrote the file.
    """
    queries: dict[str, str] = {}
    for block in text.split(_NAME)[1:]:
        name, _, rest = block.partition("\n")
        lines = rest.strip().splitlines()
        if not lines or not lines[0].startswith("-- "):
            raise ValueError(f"query {name.strip()} has no description under its name")
        if name.strip() in queries:
            raise ValueError(f"there are two queries named {name.strip()}")
        queries[name.strip()] = "\n".join(line for line in lines if not line.startswith("--"))
    return queries


def _load(name: str) -> Mapping[str, str]:
    return MappingProxyType(parse_queries((_FOLDER / f"{name}.sql").read_text("utf-8")))


WRITING = _load("writing")
READING = _load("reading")
SENDING = _load("sending")
UPKEEP = _load("upkeep")
VERIFYING = _load("verifying")
CORRECTING = _load("correcting")
PICTURING = _load("picturing")
