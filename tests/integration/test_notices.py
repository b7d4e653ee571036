"""Alarms of a running workshop reach a real mail server and a web hook; a failure is seen."""

import asyncio
import time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from msgspec.structs import replace
from notice_targets import free_port, hook_url, mail_server, web_hook
from prometheus_client.parser import text_string_to_metric_families
from workshop_at_hand import (
    BENCH,
    JUG,
    RECIPE,
    S_US,
    AtHand,
    HandClock,
    at_hand,
    config,
    problem,
    until,
)

from collector.config import Config
from collector.notice_rules import NoticeRules
from collector.notices import box, post
from collector.notices_config import NoticesConfig
from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours
from collector.readings import Role

RULES = NoticeRules(zone=ZoneInfo("UTC"), from_priority=Priority.LOW)
FOLD_S = RULES.fold_us / S_US
HOUR_S = 3600


@pytest.fixture(autouse=True)
def short_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(post, "LOOK_S", 0.01)
    monkeypatch.setattr(box, "FIRST_WAIT_S", 0.05)
    monkeypatch.setattr(box, "LAST_WAIT_S", 0.1)


def telling(folder: Path, *urls: str, **rules: object) -> Config:
    notices = NoticesConfig(urls=urls, rules=replace(RULES, **rules))
    return config(folder, notices=notices)


async def folded(hand: AtHand) -> None:
    """Let the plan see what happened, and the time pass in which more could come."""
    assert hand.workshop.notices is not None
    notices = hand.workshop.notices
    await until(lambda: len(notices.gathered) > 0)
    hand.clock.pass_s(FOLD_S)


async def got_through(hand: AtHand, targets: int) -> None:
    """Wait until so many targets know of one message sent; they know after who got it."""
    assert hand.workshop.notices is not None
    notices = hand.workshop.notices
    await until(lambda: sum(target.sent == 1 for target in notices.targets) == targets)


async def shown(hand: AtHand) -> dict[str, Any]:
    found: dict[str, Any] = await hand.got("/api/notices")
    return found


@pytest.mark.asyncio
async def test_an_alarm_reaches_a_mail_server_and_a_web_hook(tmp_path: Path) -> None:
    hook_port = free_port()
    with mail_server(free_port()) as mail, web_hook(hook_port) as hook:
        settings = telling(tmp_path, mail.url, hook_url(hook_port))
        async with at_hand(settings) as hand:
            lot = await hand.open_lot()
            alarm = await hand.alarm(lot)
            await folded(hand)
            await got_through(hand, 2)
            state = await shown(hand)
    (got,) = hook.got
    assert got["title"].startswith(f"Slip Street, {BENCH}: stir")
    assert got["title"].endswith(f"(lot {lot})")
    assert got["message"].startswith(f"{alarm['message']}\nDo now: {alarm['advice']}\nSince 09:46.")
    (written,) = mail.mails
    assert written["subject"] == got["title"]
    assert written["to"] is not None
    assert "maker@pier.example" in written["to"]
    body = written.get_body(("plain",))
    assert body is not None
    assert body.get_content().splitlines()[:2] == got["message"].splitlines()[:2]
    names = [target["target"] for target in state["targets"]]
    assert names == ["mailto 127.0.0.1", "json 127.0.0.1"]
    assert all(target["working"] and target["sent"] == 1 for target in state["targets"])


@pytest.mark.asyncio
async def test_a_storm_of_twenty_alarms_is_one_message(tmp_path: Path) -> None:
    limits = [{"name": f"limit {n}", "of": "pitcher", "above": f"{40 + n} degC"} for n in range(20)]
    port = free_port()
    with web_hook(port) as hook:
        async with at_hand(telling(tmp_path, hook_url(port))) as hand:
            await hand.http.post("/api/recipes", json={**RECIPE, "limit": limits})
            body = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
            assert (await hand.http.post("/api/lots", json=body)).status_code == 201
            notices = hand.workshop.notices
            assert notices is not None
            for _ in range(20):
                hand.clock.pass_s(0.5)
                await hand.said(JUG, Role.PITCHER, 85_000)
            await until(lambda: len(notices.gathered) == 20)
            hand.clock.pass_s(FOLD_S)
            await until(lambda: len(hook.got) == 1)
            hand.clock.pass_s(HOUR_S)
            await asyncio.sleep(0.2)
    (got,) = hook.got
    assert got["title"].endswith("and 19 more")
    assert got["message"].count("Do now: ") == 5
    assert got["message"].count("\n- ") == 15


@pytest.mark.asyncio
async def test_a_target_that_is_away_is_seen_everywhere_until_it_is_back(tmp_path: Path) -> None:
    port = free_port()
    secret = "an-invented-path"  # noqa: S105 - it opens nothing
    async with at_hand(telling(tmp_path, hook_url(port, secret))) as hand:
        lot = await hand.open_lot()
        await hand.alarm(lot)
        await folded(hand)
        assert hand.workshop.notices is not None
        notices = hand.workshop.notices
        await until(lambda: notices.targets[0].failed > 1)
        (target,) = (await shown(hand))["targets"]
        assert (target["working"], target["waiting"], target["sent"]) == (False, 1, 0)
        assert "Connection refused" in target["reason"]
        assert target["trouble_since"]
        health = await hand.got("/api/health")
        (check,) = [c for c in health["checks"] if c["name"] == "notices to json 127.0.0.1"]
        assert health["status"] == check["status"] == "warning"
        assert check["waiting_messages"] == 1
        banner = (await hand.got("/api/workshop"))["notice"]
        assert "Notices do not get through to json 127.0.0.1: " in banner
        assert await metric(hand, "pourkeep_notice_target_working") == 0.0
        everything = [str(health), banner, str(target), (await hand.http.get("/metrics")).text]
        assert not any(secret in text for text in everything)
        with web_hook(port) as hook:
            await until(lambda: len(hook.got) == 1)
            await until(lambda: notices.targets[0].waiting == 0)
        (target,) = (await shown(hand))["targets"]
        assert (target["working"], target["reason"], target["sent"]) == (True, None, 1)
        assert "Connection refused" in target["last_failure"]
        assert "Notices" not in ((await hand.got("/api/workshop"))["notice"] or "")
        assert await metric(hand, "pourkeep_notice_target_working") == 1.0
        assert await metric(hand, "pourkeep_notices_sent") == 1.0


async def metric(hand: AtHand, name: str) -> float:
    text = (await hand.http.get("/metrics")).text
    families = {family.name: family for family in text_string_to_metric_families(text)}
    (sample,) = families[name].samples
    return sample.value


@pytest.mark.asyncio
async def test_a_target_that_fails_holds_up_no_other(tmp_path: Path) -> None:
    port = free_port()
    with web_hook(port):
        async with at_hand(telling(tmp_path, hook_url(free_port()), hook_url(port))) as hand:
            await hand.alarm(await hand.open_lot())
            await folded(hand)
            await got_through(hand, 1)
            away, there = (await shown(hand))["targets"]
    assert (away["target"], there["target"]) == ("json 127.0.0.1", "json 127.0.0.1 (2)")
    assert (away["sent"], there["sent"]) == (0, 1)


@pytest.mark.asyncio
async def test_what_is_acknowledged_before_it_is_told_is_not_told(tmp_path: Path) -> None:
    port = free_port()
    with web_hook(port) as hook:
        async with at_hand(telling(tmp_path, hook_url(port))) as hand:
            lot = await hand.open_lot()
            alarm = await hand.alarm(lot)
            answer = await hand.http.post(f"/api/alarms/{alarm['id']}/acknowledge", json={})
            assert answer.status_code == 200
            hand.clock.pass_s(HOUR_S)
            await asyncio.sleep(0.2)
            assert hook.got == []


@pytest.mark.asyncio
async def test_what_comes_in_the_quiet_hours_is_told_at_their_end(tmp_path: Path) -> None:
    port = free_port()
    quiet = QuietHours(DailyTime(9 * 60), DailyTime(11 * 60))  # it is 09:46
    rules = {"quiet": quiet, "high_passes": False, "test_at": None}
    with web_hook(port) as hook:
        async with at_hand(telling(tmp_path, hook_url(port), **rules)) as hand:
            alarm = await hand.alarm(await hand.open_lot())
            assert hand.workshop.notices is not None
            notices = hand.workshop.notices
            await until(lambda: len(notices.held) > 0)
            state = await shown(hand)
            assert alarm["id"] in state["held"]
            assert state["quiet"] == {
                "begin": "09:00",
                "end": "11:00",
                "lets_high_through": False,
                "now": True,
                "until": "2026-11-25T11:00:00.000Z",
            }
            hand.clock.pass_s(HOUR_S)
            await asyncio.sleep(0.2)
            assert hook.got == []
            hand.clock.pass_s(HOUR_S)
            await folded(hand)
            await until(lambda: len(hook.got) == 1)
            assert (await shown(hand))["held"] == []
    assert "Since 09:46." in hook.got[0]["message"]


@pytest.mark.asyncio
async def test_what_stands_at_a_restart_is_told_once_more(tmp_path: Path) -> None:
    port = free_port()
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as hand:
        await hand.alarm(await hand.open_lot())
    with web_hook(port) as hook:
        async with at_hand(telling(tmp_path, hook_url(port)), clock) as hand:
            await folded(hand)
            await until(lambda: len(hook.got) == 1)
            hand.clock.pass_s(HOUR_S)
            await asyncio.sleep(0.2)
    assert len(hook.got) == 1


# ------------------------------------------------------------ tests of the way


@pytest.mark.asyncio
async def test_a_test_says_of_each_target_what_came_of_it(tmp_path: Path) -> None:
    with mail_server(free_port()) as mail:
        away = hook_url(free_port())
        async with at_hand(telling(tmp_path, mail.url, away)) as hand:
            answer = await hand.http.post("/api/notices/test")
            assert answer.status_code == 200
            told, failed = answer.json()["targets"]
            assert (told["test"]["outcome"], told["test"]["reason"]) == ("sent", None)
            assert failed["test"]["outcome"] == "failed"
            assert "Connection refused" in failed["test"]["reason"]
    (written,) = mail.mails
    assert written["subject"] == "Slip Street: test, nothing has happened"
    assert "no safety device" in str(written.get_content())


@pytest.mark.asyncio
async def test_a_test_that_takes_long_is_told_as_under_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("api.routers.notices.TEST_WAIT_S", 0.05)
    monkeypatch.setattr("collector.messenger.Messenger.send", lambda *_: slow())
    async with at_hand(telling(tmp_path, hook_url(free_port()))) as hand:
        (target,) = (await hand.http.post("/api/notices/test")).json()["targets"]
        assert target["test"]["outcome"] == "under way"
        assert hand.workshop.notices is not None
        await asyncio.wait_for(hand.workshop.notices.tested(), 5)
        (target,) = (await shown(hand))["targets"]
        assert target["test"]["outcome"] == "sent"


def slow() -> None:
    time.sleep(0.5)


@pytest.mark.asyncio
async def test_the_daily_test_comes_at_its_time_and_its_failure_is_seen(tmp_path: Path) -> None:
    port = free_port()
    async with at_hand(telling(tmp_path, hook_url(port), test_at=DailyTime(10 * 60))) as hand:
        assert (await shown(hand))["next_test_at"] == "2026-11-25T10:00:00.000Z"
        await asyncio.sleep(0.05)
        hand.clock.pass_s(800)  # 10:00 has come
        assert hand.workshop.notices is not None
        notices = hand.workshop.notices
        await until(lambda: notices.targets[0].failed > 0)
        state = await shown(hand)
        assert state["next_test_at"] == "2026-11-26T10:00:00.000Z"
        assert state["targets"][0]["test"]["outcome"] == "failed"
        assert "Notices do not get through" in (await hand.got("/api/workshop"))["notice"]
        with web_hook(port) as hook:
            await until(lambda: len(hook.got) == 1)
    assert hook.got[0]["message"].startswith("This is the daily test.")


@pytest.mark.asyncio
async def test_without_the_section_nothing_is_configured_and_a_test_is_refused(
    tmp_path: Path,
) -> None:
    async with at_hand(config(tmp_path)) as hand:
        state = await shown(hand)
        assert (state["configured"], state["targets"], state["quiet"]) == (False, [], None)
        refused = problem(await hand.http.post("/api/notices/test"), 409)
        assert "[notices]" in refused["detail"]
