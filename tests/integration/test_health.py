"""Health and metrics of a running workshop, over HTTP."""

import asyncio
import shutil
import sqlite3
from collections.abc import AsyncIterator, Iterable, Sequence
from pathlib import Path
from typing import Any

import httpx
import msgspec
import pytest
import pytest_asyncio
from prometheus_client import Metric
from prometheus_client.parser import text_string_to_metric_families
from workshop_at_hand import JUG, POT, SCALE, AtHand, at_hand, config, until

from api import progress_watch
from api.health import NOT_SET, health_of, notice_of
from api.progress_watch import stuck
from collector import batch as batch_module
from collector import space_watch
from collector.clock import SystemClock
from collector.disk_space import Space
from collector.events import AnyEvent
from collector.readers.link import Pulse, Sink
from collector.readings import Reading, Role
from collector.sender_state import SenderState, Sending
from collector.store.outbox import Outbox
from collector.workshop import Workshop


class StuckReader:
    """A reader whose thread hangs, or has ended."""

    names = (SCALE,)

    def __init__(self, pulse: Pulse) -> None:
        self._pulse = pulse

    def start(self, sink: Sink) -> None:
        """Do nothing."""

    def stop(self) -> None:
        """Do nothing."""

    def rejected(self, _name: str) -> dict[str, int]:
        """Count nothing."""
        return {"not a weighing": 2}

    def pulse(self) -> Pulse:
        """Hang."""
        return self._pulse


class StandStill:
    """A sender that stands as it is told."""

    name = "broker"

    def __init__(self, state: SenderState) -> None:
        self.state = state

    @property
    def outbox(self) -> Outbox:
        """Nobody asks."""
        raise AssertionError("health counts on what the state says")

    async def run(self) -> None:
        """Do nothing."""


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        await until(lambda: hand.workshop.space.space is not None)
        yield hand


@pytest.fixture(autouse=True)
def short_retries(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch_module, "RETRY_S", 0.02)


async def checks(hand: AtHand, status: int = 200) -> dict[str, dict[str, Any]]:
    """Return the checks by their names, and the whole under "all"."""
    answer = await hand.http.get("/api/health")
    assert answer.status_code == status, answer.text
    health = answer.json()
    return {check["name"]: check for check in health["checks"]} | {"all": health}


async def metrics(hand: AtHand) -> dict[str, Metric]:
    """Return the page as Prometheus' own parser reads it, metrics by name."""
    answer = await hand.http.get("/metrics")
    assert answer.status_code == 200
    return {metric.name: metric for metric in text_string_to_metric_families(answer.text)}


def values(metric: Metric, *labels: str) -> dict[tuple[str, ...], float]:
    return {tuple(s.labels[name] for name in labels): s.value for s in metric.samples}


# ------------------------------------------------------------------ health


@pytest.mark.asyncio
async def test_health_says_of_each_part_how_it_does_and_counts_the_worst(hand: AtHand) -> None:
    await hand.said(SCALE, Role.SCALE, 1000)
    await until(lambda: hand.workshop.pipeline.instruments["attic-scale"].reason is not None)
    found = await checks(hand)
    assert found["all"]["status"] == "warning"  # the attic's scale is not there
    assert found["instrument attic-scale"]["status"] == "warning"
    assert "nowhere" in found["instrument attic-scale"]["sentence"]
    assert abs(found["instrument slip-scale"]["last_reading_age_s"]) < 0.001
    for name in ("store", "disk space", "pipeline", "reader of attic-scale", "clock"):
        assert found[name]["status"] == "ok", found[name]
        assert found[name]["sentence"]
    assert found["disk space"]["free_bytes"] > 0
    assert found["reader of attic-scale"]["last_round_age_s"] < 10


@pytest.mark.asyncio
async def test_a_store_that_refuses_fails_and_is_well_again_once_it_takes(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    ledger = hand.workshop._store._ledger
    with monkeypatch.context() as patch:
        full = sqlite3.OperationalError("database or disk is full")
        full.sqlite_errorcode = sqlite3.SQLITE_FULL

        def refuse(*_: object) -> None:
            raise full

        patch.setattr(ledger, "_add_readings", refuse)
        await hand.said(SCALE, Role.SCALE, 1000)
        await until(lambda: hand.workshop.pipeline.trouble is not None)
        found = await checks(hand, 503)
        assert found["all"]["status"] == found["store"]["status"] == "failing"
        assert "the disk is full" in found["store"]["sentence"]
        assert found["store"]["waiting_readings"] == 1
        assert stuck(hand.workshop) == []  # it is no reason to be started again
        refusing = (await metrics(hand))["pourkeep_store_refusing"]
        assert [sample.value for sample in refusing.samples] == [1.0]
    await until(lambda: hand.workshop.pipeline.trouble is None)
    assert (await checks(hand))["store"]["waiting_readings"] == 0


@pytest.mark.asyncio
@pytest.mark.parametrize(
    ("pulse", "said"),
    [
        (Pulse(alive=False, age_s=0.0), "has ended"),
        (Pulse(alive=True, age_s=30.0), "has not moved for 30 s"),
    ],
)
async def test_a_reader_that_hangs_or_ended_fails(hand: AtHand, pulse: Pulse, said: str) -> None:
    hand.workshop.readers.append(StuckReader(pulse))
    found = await checks(hand, 503)
    reader = found[f"reader of {SCALE}"]
    assert reader["status"] == "failing"
    assert reader["sentence"] == f"The thread that reads {SCALE} {said}."
    assert stuck(hand.workshop) == [reader["sentence"]]


@pytest.mark.asyncio
async def test_a_commit_and_a_beat_that_hang_fail(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    store, go_on = hand.workshop._store, asyncio.Event()
    commit = store.commit

    async def hang(readings: Sequence[Reading], events: Sequence[AnyEvent]) -> list[int]:
        await go_on.wait()
        return await commit(readings, events)

    monkeypatch.setattr(store, "commit", hang)
    monkeypatch.setattr(progress_watch, "COMMIT_S", 0.05)
    monkeypatch.setattr(progress_watch, "BEAT_S", -1.0)
    await hand.said(SCALE, Role.SCALE, 1000)
    await until(lambda: len(stuck(hand.workshop)) == 2)
    found = await checks(hand, 503)
    assert "has not come to its end" in found["store"]["sentence"]
    assert found["store"]["commit_under_way_s"] > 0
    assert found["pipeline"]["status"] == "failing"
    go_on.set()
    await until(lambda: hand.workshop.pipeline.batch.waiting == 0)


@pytest.mark.asyncio
async def test_a_record_whose_file_is_gone_fails_though_the_open_file_takes_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(space_watch, "EVERY_S", 0.02)
    monkeypatch.setattr(space_watch, "SOON_S", 0.02)
    async with at_hand(config(tmp_path / "data")) as hand:
        await until(lambda: hand.workshop.space.space is not None)
        shutil.rmtree(tmp_path / "data")
        await until(lambda: hand.workshop.space.gone)
        found = await checks(hand, 503)
        assert "is not in the data folder any more" in found["store"]["sentence"]
        notice = (await hand.got("/api/workshop"))["notice"]
        assert notice.startswith("The record's file is not in the data folder")


@pytest.mark.asyncio
async def test_what_is_not_yet_trouble_is_told_to_the_screens(
    hand: AtHand, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert (await hand.got("/api/workshop"))["notice"] is None
    low = Space(free_bytes=100_000_000, store_bytes=1, rate_hz=1.0)
    monkeypatch.setattr(hand.workshop.space, "space", low)
    hand.workshop.companions.failures["upkeep"] = "ZeroDivisionError()"
    away = SenderState("broker", Sending.AWAY, waiting=7, reason="The broker does not answer.")
    hand.workshop.senders.append(StandStill(away))
    found = await checks(hand)
    assert found["disk space"]["status"] == found["upkeep"]["status"] == "warning"
    assert (found["broker"]["status"], found["broker"]["waiting_commits"]) == ("warning", 7)
    notice = (await hand.got("/api/workshop"))["notice"]
    assert notice.startswith("100 MB are free")
    assert "upkeep stopped over a defect" in notice
    assert notice.endswith("The broker does not answer. 7 commits wait to be sent.")


@pytest.mark.asyncio
async def test_a_clock_that_was_not_set_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with Workshop(config(tmp_path), SystemClock()) as workshop:
        for is_set, status in ((None, "ok"), (True, "ok"), (False, "warning")):
            monkeypatch.setattr("api.health.synchronized", lambda told=is_set: told)
            (clock,) = [c for c in health_of(workshop).checks if c.name == "clock"]
            assert clock.status == status
            assert (clock.model_extra or {})["synchronized"] is is_set
        assert NOT_SET in (notice_of(workshop) or "")


@pytest.mark.asyncio
async def test_health_and_metrics_want_a_token_like_everything(tmp_path: Path) -> None:
    settings = config(tmp_path)
    token = "kelp-and-driftwood-41"  # noqa: S105 - a token of the test's own
    api = msgspec.structs.replace(settings.api, tokens=(token,))
    async with at_hand(config(tmp_path, api=api)) as hand:
        for path in ("/api/health", "/metrics"):
            assert (await hand.http.get(path)).status_code == 401
            shown = await hand.http.get(path, headers={"authorization": f"Bearer {token}"})
            assert shown.status_code == 200


# ------------------------------------------------------------------ metrics


@pytest.mark.asyncio
async def test_the_page_is_prometheus_text_and_counts_what_happened(hand: AtHand) -> None:
    lot = await hand.open_lot()
    await hand.alarm(lot)
    for value in (1000, 2000, 3000):
        hand.clock.pass_s(1)
        await hand.said(SCALE, Role.SCALE, value)
    await hand.said(JUG, Role.PITCHER, 70_000)
    await hand.workshop.pipeline.write_now()
    hand.clock.pass_s(5)
    answer = await hand.http.get("/metrics")
    assert answer.headers["content-type"].startswith("text/plain; version=0.0.4")
    found = await metrics(hand)
    stored = values(found["pourkeep_readings_stored"], "channel")
    assert (stored[SCALE,], stored[JUG,]) == (3.0, 1.0)
    assert values(found["pourkeep_events_stored"], "kind")["lot-opened",] == 1.0
    ages = values(found["pourkeep_last_reading_age_seconds"], "channel")
    assert ages.keys() == {(SCALE,), (JUG,)}
    assert all(abs(age - 5.0) < 0.001 for age in ages.values())
    assert values(found["pourkeep_lots_open"]) == {(): 1.0}
    standing = values(found["pourkeep_alarms_standing"], "priority")
    assert sum(standing.values()) >= 1
    assert len(standing) == 3  # those without an alarm too
    build = values(found["pourkeep_build_info"], "version")
    assert list(build.values()) == [1.0]


@pytest.mark.asyncio
async def test_commits_are_a_histogram_whose_classes_add_up(hand: AtHand) -> None:
    for value in range(5):
        hand.clock.pass_s(1)
        await hand.said(POT, Role.POT, value)
        await hand.workshop.pipeline.write_now()
    commits = (await metrics(hand))["pourkeep_commit_duration_seconds"]
    buckets = [s.value for s in commits.samples if s.name.endswith("_bucket")]
    (count,) = [s.value for s in commits.samples if s.name.endswith("_count")]
    assert buckets == sorted(buckets)
    assert buckets[-1] == count >= 5


@pytest.mark.asyncio
async def test_names_and_labels_follow_the_practice_and_are_bounded(hand: AtHand) -> None:
    """https://prometheus.io/docs/practices/naming/: a prefix, base units, _total for counters."""
    hand.workshop.readers.insert(0, StuckReader(Pulse(alive=True, age_s=0.0)))
    hand.workshop.senders.append(StandStill(SenderState("broker", Sending.UP_TO_DATE)))
    first = await metrics(hand)
    for name, metric in first.items():
        assert name.startswith("pourkeep_")
        assert metric.documentation.endswith(".")
        assert not any(unit in name for unit in ("_ms", "_us", "milli", "micro", "mega"))
        samples = {sample.name for sample in metric.samples}
        assert metric.type != "counter" or samples <= {f"{name}_total"}
    rejected = values(first["pourkeep_messages_rejected"], "instrument", "reason")
    assert rejected[SCALE, "not a weighing"] == 2.0
    again = await metrics(hand)
    assert count_of(first.values()) == count_of(again.values())


def count_of(found: Iterable[Metric]) -> int:
    return sum(len(metric.samples) for metric in found)


@pytest.mark.asyncio
async def test_two_pages_at_once_share_nothing(tmp_path: Path) -> None:
    async with at_hand(config(tmp_path / "a")) as one, at_hand(config(tmp_path / "b")) as other:
        await one.said(SCALE, Role.SCALE, 1000)
        await one.workshop.pipeline.write_now()
        pages: list[httpx.Response] = [
            await hand.http.get("/metrics") for hand in (one, other, one)
        ]
    assert f'readings_stored_total{{channel="{SCALE}"}}' in pages[0].text
    assert f'readings_stored_total{{channel="{SCALE}"}}' not in pages[1].text
    assert f'readings_stored_total{{channel="{SCALE}"}}' in pages[2].text
