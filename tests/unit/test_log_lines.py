"""The log as JSON lines: times by RFC 3339, and nothing in a line that nobody meant to be there."""

import io
import json
import logging
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest

from api.command_line import log_lines


@pytest.fixture
def written() -> Iterator[io.StringIO]:
    """Give what a logger of the test's own writes."""
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    handler.setFormatter(log_lines.JsonLines())
    logger = logging.getLogger("test.lines")
    logger.propagate = False
    logger.addHandler(handler)
    yield stream
    logger.removeHandler(handler)
    logger.propagate = True


def lines(stream: io.StringIO) -> list[dict[str, Any]]:
    return [json.loads(line) for line in stream.getvalue().splitlines()]


def test_a_line_is_an_object_with_its_time_in_utc(written: io.StringIO) -> None:
    before = datetime.now(UTC)
    logging.getLogger("test.lines").warning("the pot has %s °C", 93)
    (line,) = lines(written)
    assert line.keys() == {"time", "level", "logger", "message"}
    assert (line["level"], line["logger"]) == ("warning", "test.lines")
    assert line["message"] == "the pot has 93 °C"
    assert line["time"].endswith("Z")
    told = datetime.fromisoformat(line["time"])
    assert abs((told - before).total_seconds()) < 5


def test_fields_that_are_known_stand_in_the_line_and_others_do_not(written: io.StringIO) -> None:
    about = {"instrument": "east-pot", "lot": "2026-11-25-1", "token": "kelp-and-driftwood-41"}
    logging.getLogger("test.lines").warning("gone", extra=about)
    (line,) = lines(written)
    assert (line["instrument"], line["lot"]) == ("east-pot", "2026-11-25-1")
    assert "kelp" not in written.getvalue()


def test_a_message_or_an_error_of_several_lines_stays_in_one(written: io.StringIO) -> None:
    logger = logging.getLogger("test.lines")
    logger.error("it\nfailed", exc_info=ZeroDivisionError("first\nsecond"))
    (line,) = lines(written)
    assert line["message"] == "it\nfailed"
    assert "ZeroDivisionError: first\nsecond" in line["error"]
