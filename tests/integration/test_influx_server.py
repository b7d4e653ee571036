"""The adapter against a real InfluxDB server, of the generation that knows no /api/v2/write."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec
import pytest
from influx_at_hand import administer, count
from influx_process import InfluxProcess, influxd
from store_samples import START_US, lot_opened, recipe_kept, scale_readings

from api.command_line import main
from collector.events import encode
from collector.readings import Channel, Quality, Reading, Role
from collector.store import StoredEvent
from collector.store.influx.answers import MisconfiguredError, UnreachableError
from collector.store.influx.curves import read_span
from collector.store.influx.delivery import deliver
from collector.store.influx.points import Lines
from collector.store.influx.server import InfluxServer

CHANNEL = Channel("mole-scale", "mole", Role.SCALE, None)
KEEPER = {"user": "keeper", "password": "k33per"}
BENCH = {"user": "bench", "password": "b3nch"}
LINES = Lines({CHANNEL.name: CHANNEL})
TO_US = START_US + 10**9


@pytest.fixture(scope="module")
def influx(tmp_path_factory: pytest.TempPathFactory) -> Iterator[InfluxProcess]:
    with influxd(tmp_path_factory.mktemp("influx")) as process:
        yield process


@pytest.fixture
def server(influx: InfluxProcess, request: pytest.FixtureRequest) -> InfluxServer:
    """Return the server with a database of the test's own, which nobody has made yet."""
    return InfluxServer(influx.config(request.node.name))


def reading_lines(number: int = 5) -> list[str]:
    return [LINES.reading(reading) for reading in scale_readings(count=number)]


def test_a_missing_database_is_made_and_points_come_back(server: InfluxServer) -> None:
    server.write(reading_lines())
    span = read_span(server, CHANNEL, START_US, TO_US)
    assert span.times.tolist() == [r.taken_us for r in scale_readings()]
    assert span.values.tolist() == [r.value for r in scale_readings()]
    assert span.qualities.tolist() == [0] * 5


def test_sending_again_changes_nothing(server: InfluxServer) -> None:
    event = LINES.event(StoredEvent(7, lot_opened()))
    for _ in range(3):
        server.write([*reading_lines(), event])
    assert count(server, "reading", "value") == 5
    assert count(server, "event", "body") == 1


def test_events_that_share_bench_kind_and_microsecond_all_stay(server: InfluxServer) -> None:
    opened = [StoredEvent(seq, lot_opened(f"lot {seq}")) for seq in (999, 1000, 1001)]
    server.write([LINES.event(stored) for stored in opened])
    assert count(server, "event", "body") == 3


def test_what_an_event_holds_comes_back_letter_for_letter(server: InfluxServer) -> None:
    document = b'{"name": "quote \\" and backslash \\\\ and, = \\n end"}'
    event = recipe_kept(document=document)
    server.write([LINES.event(StoredEvent(1, event))])
    (series,) = server.query("SELECT body FROM event").series
    assert str(series.values[0][1]).encode() == encode(event)


def test_an_event_may_be_as_long_as_it_is(server: InfluxServer) -> None:
    event = recipe_kept(document=b'{"name": "' + b"x" * 200_000 + b'"}')
    server.write([LINES.event(StoredEvent(1, event))])
    (series,) = server.query("SELECT body FROM event").series
    assert str(series.values[0][1]).encode() == encode(event)


@pytest.mark.parametrize("name", ["a b", "a,b=c", "it's", 'say "so"', "größe", "a.b-c_d", "=,"])
def test_a_channel_of_any_name_is_found_again(influx: InfluxProcess, name: str) -> None:
    server, channel = InfluxServer(influx.config("names")), Channel(name, "x y", Role.POT, None)
    lines, reading = Lines({name: channel}), Reading(name, START_US, -1_005, Quality.SUSPECT)
    server.write([lines.reading(reading)])
    span = read_span(server, channel, START_US, START_US)
    assert (span.times.tolist(), span.values.tolist()) == ([START_US], [-1_005])
    assert span.qualities.tolist() == [Quality.SUSPECT]


def test_a_field_of_another_type_is_refused_and_stands_alone(server: InfluxServer) -> None:
    server.write(reading_lines(1))
    good = [LINES.reading(r) for r in scale_readings(START_US + 5_000_000, count=300)]
    bad = [f"reading,channel=mole-scale value=1i {START_US + n}000" for n in (7, 8)]
    refused = deliver(server.write, [*good[:100], bad[0], *good[100:250], bad[1], *good[250:]])
    assert [line for line, _ in refused] == bad
    assert all("field type conflict" in reason for _, reason in refused)
    assert count(server, "reading", "value") == 301


def test_what_is_no_line_is_refused_and_stands_alone(server: InfluxServer) -> None:
    lines = reading_lines()
    refused = deliver(server.write, [*lines[:2], "reading value=", *lines[2:]])
    assert [line for line, _ in refused] == ["reading value="]
    assert "unable to parse" in refused[0][1]
    assert count(server, "reading", "value") == 5


def test_points_older_than_the_server_keeps_are_refused_in_one_request(
    influx: InfluxProcess,
) -> None:
    administer(influx, 'CREATE DATABASE "short"')
    administer(influx, 'CREATE RETENTION POLICY "hour" ON "short" DURATION 1h REPLICATION 1')
    server = InfluxServer(influx.config("short", retention_policy="hour"))
    old = [f"reading,channel=a value=1 {n}" for n in range(1, 400)]
    requests: list[int] = []

    def write(lines: Sequence[str]) -> None:
        requests.append(len(lines))
        server.write(lines)

    refused = deliver(write, old)
    assert (len(refused), requests) == (399, [399])
    assert "beyond retention policy" in refused[0][1]


def test_a_retention_policy_that_is_not_there_is_the_configs_fault(influx: InfluxProcess) -> None:
    administer(influx, 'CREATE DATABASE "plain"')
    server = InfluxServer(influx.config("plain", retention_policy="nowhere"))
    with pytest.raises(MisconfiguredError, match="retention policy not found: nowhere"):
        server.write(reading_lines())


def test_a_server_that_is_away_is_unreachable(influx: InfluxProcess) -> None:
    config = msgspec.structs.replace(influx.config("x"), url="http://127.0.0.1:9")
    with pytest.raises(UnreachableError, match="does not answer"):
        InfluxServer(config).write(reading_lines())
    with pytest.raises(UnreachableError, match="does not answer"):
        InfluxServer(config).query("SHOW DATABASES")


def test_pages_of_any_size_give_the_same_span(server: InfluxServer) -> None:
    server.write(reading_lines(100))
    whole = read_span(server, CHANNEL, START_US, TO_US)
    for page in (1, 7, 50, 99, 100, 101):
        paged = read_span(server, CHANNEL, START_US, TO_US, page)
        assert [part.tolist() for part in paged] == [part.tolist() for part in whole]


def test_a_span_holds_both_its_ends_and_nothing_beyond(server: InfluxServer) -> None:
    server.write(reading_lines())
    times = [r.taken_us for r in scale_readings()]
    assert read_span(server, CHANNEL, times[1], times[3]).times.tolist() == times[1:4]
    assert read_span(server, CHANNEL, times[1] + 1, times[2] - 1).times.size == 0


def test_one_reading_in_two_series_is_one_reading(server: InfluxServer) -> None:
    server.write(reading_lines())
    moved = Lines({CHANNEL.name: Channel(CHANNEL.name, "attic", Role.SCALE, None)})
    server.write([moved.reading(reading) for reading in scale_readings()])
    assert count(server, "reading", "value") == 10
    assert read_span(server, CHANNEL, START_US, TO_US).values.tolist() == [
        reading.value for reading in scale_readings()
    ]


# ---------------------------------------------------------------- signing in


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[InfluxProcess]:
    """Run a server that asks who is there; `keeper` may all, `bench` may write into `pour`."""
    with influxd(tmp_path_factory.mktemp("guarded"), auth=True) as process:
        administer(process, "CREATE USER keeper WITH PASSWORD 'k33per' WITH ALL PRIVILEGES")
        for statement in (
            'CREATE DATABASE "pour"',
            "CREATE USER bench WITH PASSWORD 'b3nch'",
            'GRANT ALL ON "pour" TO bench',
        ):
            assert "error" not in administer(process, statement, **KEEPER)
        yield process


def test_user_and_password_let_a_bench_in(guarded: InfluxProcess) -> None:
    server = InfluxServer(guarded.config("pour", **BENCH))
    server.write(reading_lines())
    assert count(server, "reading", "value") == 5


@pytest.mark.parametrize("account", [{"user": "bench", "password": "guess"}, {}])
def test_a_wrong_password_is_the_configs_fault_and_not_repeated(
    guarded: InfluxProcess, account: dict[str, str]
) -> None:
    server = InfluxServer(guarded.config("pour", **account))
    with pytest.raises(MisconfiguredError, match="answers 401") as told:
        server.write(reading_lines())
    assert "guess" not in told.value.message
    with pytest.raises(MisconfiguredError, match="answers 401"):
        server.query("SHOW DATABASES")


def test_a_database_that_this_account_may_not_make_is_named(guarded: InfluxProcess) -> None:
    server = InfluxServer(guarded.config("other", **BENCH))
    with pytest.raises(MisconfiguredError, match=r'Make "other" there.*requires admin privilege'):
        server.write(reading_lines())


# ---------------------------------------------------------------- what a person does beforehand

CONFIG = """\
[workshop]
name = "Pier Lane"
timezone = "UTC"
[[bench]]
name = "east"
[influx]
database = "pour"
url = "{url}"
"""


def checked(folder: Path, url: str) -> int:
    config = folder / "workshop.toml"
    config.write_text(CONFIG.format(url=url), "utf-8")
    return main(["check", "--config", str(config)])


def test_a_check_of_the_config_says_that_the_server_answers(
    influx: InfluxProcess, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert checked(tmp_path, influx.url) == 0
    assert f"ok   influx: {influx.url} answers" in capsys.readouterr().out


def test_a_check_of_the_config_says_that_the_server_is_away(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert checked(tmp_path, "http://127.0.0.1:9") == 1
    assert "FAIL influx: The InfluxDB at http://127.0.0.1:9 does not" in capsys.readouterr().out


def test_the_example_of_a_retention_is_what_the_server_takes(influx: InfluxProcess) -> None:
    example = Path(__file__).parents[2] / "deploy" / "influxdb" / "retention.influxql"
    assert "error" not in administer(influx, example.read_text("utf-8"))
    policies = administer(influx, 'SHOW RETENTION POLICIES ON "pourkeep"')
    assert '["two_years","17472h0m0s","672h0m0s",1,true]' in policies  # 104 and 4 weeks
