"""What goes over the wire to InfluxDB servers of each generation, held against what their makers
publish, and what their documented answers mean.

1.8: https://docs.influxdata.com/influxdb/v1/tools/api/#influxdb-2x-api-compatibility-endpoints
2.x: https://docs.influxdata.com/influxdb/v2/api/v2/#operation/PostWrite
3.x: https://docs.influxdata.com/influxdb3/core/write-data/http-api/compatibility-apis/
The texts of errors are those of the pages on writing named in `answers.py`, and of servers.
"""

import json

import msgspec
import pytest
from influx_stand_in import NO_CONTENT, NO_PATH, Answer, StandIn, standing_in

from collector.influx_config import InfluxConfig
from collector.readings import Channel, Role
from collector.store.influx.answers import (
    MisconfiguredError,
    NoSuchPathError,
    RefusedError,
    UnreachableError,
)
from collector.store.influx.curves import read_span
from collector.store.influx.server import InfluxServer

LINES = [
    "reading,bench=east,channel=east\\ scale,role=scale quality=0,value=1.5 1795600000000000000",
    "reading,bench=east,channel=east\\ scale,role=scale quality=0,value=1.6 1795600000500000000",
]


TOKEN = {"token": "t0ken=="}
BENCH = {"user": "bench", "password": "b3nch"}


def server(stand_in: StandIn, **more: str) -> InfluxServer:
    usual = InfluxConfig(url=stand_in.url, database="pour")
    return InfluxServer(msgspec.structs.replace(usual, **more), answer_s=5.0)


def answering(status: int, document: object = None, **headers: str) -> Answer:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return Answer(status, "" if document is None else json.dumps(document), named)


# ---------------------------------------------------------------- requests


def test_a_2x_server_gets_org_bucket_precision_token_and_the_lines() -> None:
    with standing_in(api_v2_write=[NO_CONTENT]) as stand_in:
        server(stand_in, org="pier lane", **TOKEN).write(LINES)
    (request,) = stand_in.requests
    assert (request.method, request.path) == ("POST", "/api/v2/write")
    assert request.query == {"org": "pier lane", "bucket": "pour", "precision": "ns"}
    assert request.headers["authorization"] == "Token t0ken=="
    assert request.headers["content-type"].startswith("text/plain")
    assert request.headers["content-encoding"] == "gzip"
    assert request.body == "\n".join(LINES)


def test_a_3x_server_gets_the_database_as_bucket_and_needs_no_org() -> None:
    with standing_in(api_v2_write=[NO_CONTENT]) as stand_in:
        server(stand_in, **TOKEN).write(LINES)
    (request,) = stand_in.requests
    assert (request.query["bucket"], request.query["precision"]) == ("pour", "ns")
    assert request.headers["authorization"] == "Token t0ken=="


def test_a_1_8_server_gets_policy_user_and_password_by_the_newer_way() -> None:
    with standing_in(api_v2_write=[NO_CONTENT]) as stand_in:
        server(stand_in, retention_policy="year", **BENCH).write(LINES)
    (request,) = stand_in.requests
    assert request.query["bucket"] == "pour/year"
    assert request.headers["authorization"] == "Token bench:b3nch"


def test_an_older_server_gets_its_own_way_and_is_not_asked_twice() -> None:
    with standing_in(api_v2_write=[NO_PATH], write=[NO_CONTENT]) as stand_in:
        one = server(stand_in, retention_policy="year", **BENCH)
        one.write(LINES)
        one.write(LINES[:1])
    assert [r.path for r in stand_in.requests] == ["/api/v2/write", "/write", "/write"]
    _, request, again = stand_in.requests
    assert request.method == "POST"
    assert request.query == {"db": "pour", "rp": "year", "precision": "n"}
    assert request.headers["authorization"] == "Basic YmVuY2g6YjNuY2g="  # RFC 7617, section 2
    assert request.headers["content-type"] == "text/plain; charset=utf-8"
    assert (request.body, again.body) == ("\n".join(LINES), LINES[0])


def test_without_credentials_nothing_is_signed() -> None:
    with standing_in(api_v2_write=[NO_PATH], write=[NO_CONTENT]) as stand_in:
        server(stand_in).write(LINES)
    assert all("authorization" not in request.headers for request in stand_in.requests)


def test_a_curve_is_asked_for_in_influxql_by_get() -> None:
    rows = [[1_795_600_000_000_000, 1.5, 0], [1_795_600_000_500_000, 1.6, None]]
    columns = ["time", "value", "quality"]
    found = {"results": [{"series": [{"name": "reading", "columns": columns, "values": rows}]}]}
    with standing_in(query=[answering(200, found)]) as stand_in:
        channel = Channel("ea'st", "east", Role.SCALE, None)
        span = read_span(server(stand_in, retention_policy="year", **TOKEN), channel, 5, 7)
    (request,) = stand_in.requests
    assert (request.method, request.path) == ("GET", "/query")
    assert request.query["q"] == (
        'SELECT "value", "quality" FROM "reading" WHERE "channel" = \'ea\\\'st\''
        " AND time >= 5000 AND time <= 7000 ORDER BY time LIMIT 100000"
    )
    assert (request.query["db"], request.query["rp"], request.query["epoch"]) == (
        "pour",
        "year",
        "u",
    )
    assert request.headers["authorization"] == "Token t0ken=="
    assert span.values.tolist() == [1500, 1600]


def test_an_answer_that_the_server_cut_short_is_asked_on() -> None:
    def page(*rows: list[float]) -> Answer:
        series = [{"name": "reading", "columns": ["time", "value", "quality"], "values": rows}]
        return answering(200, {"results": [{"series": series, "partial": bool(rows)}]})

    pages = [page([5, 1.0, 0], [6, 2.0, 0]), page([7, 3.0, 0]), page()]
    with standing_in(query=pages) as stand_in:
        channel = Channel("a", "east", Role.SCALE, None)
        span = read_span(server(stand_in), channel, 0, 100)
    assert span.times.tolist() == [5, 6, 7]
    asked = [
        request.query["q"].partition("time >= ")[2].split()[0] for request in stand_in.requests
    ]
    assert asked == ["0", "7000", "8000"]


def test_a_missing_database_is_made_by_post_and_the_points_are_sent_again() -> None:
    missing = answering(404, {"error": 'database not found: "pour"'})  # as 1.6.7 answers
    made = answering(200, {"results": [{"statement_id": 0}]})
    answers = {"write": [missing, NO_CONTENT], "query": [made]}
    with standing_in(**answers) as stand_in:
        server(stand_in).write(LINES)
    paths = [(r.method, r.path) for r in stand_in.requests]
    assert paths[1:] == [("POST", "/write"), ("POST", "/query"), ("POST", "/write")]
    assert "q=CREATE+DATABASE+%22pour%22" in stand_in.requests[2].body


# ---------------------------------------------------------------- answers

PARSE_2X = {"code": "invalid", "message": "unable to parse 'x': missing fields"}
PARTIAL_2X = {"code": "unprocessable entity", "message": "failure writing points to database: ..."}
PARTIAL_3X = {
    "error": "partial write of line protocol occurred",
    "data": [{"original_line": "x", "line_number": 2, "error_message": "invalid column type"}],
}
PARTIAL_1X = {"error": 'partial write: field type conflict: input field "v" dropped=2'}


@pytest.mark.parametrize(
    ("answer", "dropped"),
    [
        (answering(400, PARSE_2X), None),
        (answering(422, PARTIAL_2X), None),
        (answering(400, PARTIAL_3X), None),
        (answering(400, PARTIAL_1X), 2),
        (Answer(413, "<html>Request Entity Too Large</html>"), None),  # a proxy's, often
    ],
)
def test_points_at_fault_are_refused(answer: Answer, dropped: int | None) -> None:
    with standing_in(api_v2_write=[answer]) as stand_in:
        with pytest.raises(RefusedError) as told:
            server(stand_in).write(LINES)
        assert told.value.dropped == dropped


@pytest.mark.parametrize(
    ("answer", "after_s"),
    [
        (answering(429, {"code": "too many requests"}, Retry_After="17"), 17.0),
        (answering(503, {"code": "unavailable"}, Retry_After="3"), 3.0),
        (answering(503), None),
        (answering(503, None, Retry_After="Thu, 26 Nov 2026 10:00:00 GMT"), None),
        (answering(500, {"code": "internal error"}), None),
        (answering(502), None),
    ],
)
def test_a_server_with_too_much_to_do_is_asked_again_later(
    answer: Answer, after_s: float | None
) -> None:
    with standing_in(api_v2_write=[answer]) as stand_in:
        with pytest.raises(UnreachableError) as told:
            server(stand_in).write(LINES)
        assert told.value.after_s == after_s
    assert len(stand_in.requests) == 1  # the client library must not ask again by itself


@pytest.mark.parametrize(
    "answer",
    [
        answering(401, {"code": "unauthorized", "message": "unauthorized access"}),
        answering(403, {"code": "forbidden", "message": "insufficient permissions"}),
        answering(404, {"code": "not found", "message": 'bucket "pour" not found'}),
        answering(404, {"code": "not found", "message": 'organization name "x" not found'}),
        answering(400, {"code": "invalid", "message": "Please provide either orgID or org"}),
        answering(301, None, Location="https://elsewhere.example/"),
        answering(400),
    ],
)
def test_what_a_person_has_to_see_to_drops_nothing(answer: Answer) -> None:
    with (
        standing_in(api_v2_write=[answer], write=[NO_CONTENT]) as stand_in,
        pytest.raises(MisconfiguredError, match=str(answer.status)),
    ):
        server(stand_in, **TOKEN).write(LINES)
    assert [request.path for request in stand_in.requests] == ["/api/v2/write"]


def test_an_address_without_influxdb_is_told_and_asked_both_ways_again() -> None:
    with standing_in() as stand_in:
        one = server(stand_in)
        for _ in range(2):
            with pytest.raises(NoSuchPathError, match="url in \\[influx\\]"):
                one.write(LINES)
    assert [r.path for r in stand_in.requests] == ["/api/v2/write", "/write"] * 2


def test_an_answer_that_is_no_json_is_told() -> None:
    with (
        standing_in(query=[Answer(200, "<html>hello</html>")]) as stand_in,
        pytest.raises(MisconfiguredError, match="no answer in JSON"),
    ):
        server(stand_in).query("SHOW DATABASES")


def test_a_complaint_inside_an_answer_is_told() -> None:
    """1.x says with status 200 that a database is missing."""
    wrong = {"results": [{"statement_id": 0, "error": "database not found: pour"}]}
    with (
        standing_in(query=[answering(200, wrong)]) as stand_in,
        pytest.raises(MisconfiguredError, match="database not found: pour"),
    ):
        server(stand_in).query("SHOW SERIES")
