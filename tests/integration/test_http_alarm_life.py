"""Latched, shelved, suppressed and out of service over HTTP, and through a restart."""

import json
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import httpx
import msgspec
import pytest
import pytest_asyncio
from workshop_at_hand import (
    BENCH,
    JUG,
    POT,
    RECIPE,
    S_US,
    SCALE,
    AtHand,
    HandClock,
    at_hand,
    config,
    instrument,
    problem,
    until,
)

from api.command_line import main
from collector.config import Config
from collector.instrument_config import InstrumentConfig, SerialScale
from collector.lot_events import LotOpened, OutOfService
from collector.readings import Role
from collector.recipe_file import read_recipe_document
from collector.recipes import Manner
from collector.store.verify import verify

SERVICE = f"/api/benches/{BENCH}/out-of-service"
HOT, COOL = 95_000, 85_000  # the recipe's wax is never above 92 °C
BROKEN = {"rule": "over-temperature", "reason": "its probe is broken"}


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand
    assert verify(tmp_path) == []


async def pot(hand: AtHand, mdegc: int) -> None:
    """Let somebody type in what the pot's thermometer shows, a second later."""
    hand.clock.pass_s(1)
    await hand.said(POT, Role.POT, mdegc)
    await hand.workshop.pipeline.write_now()


async def hot_alarm(hand: AtHand) -> dict[str, Any]:
    """Overheat the pot and return the alarm of that."""
    await pot(hand, HOT)
    return await of_the_pot(hand)


async def of_the_pot(hand: AtHand) -> dict[str, Any]:
    """Return the latest alarm of a pot that is too hot, whatever has become of it."""
    alarms = await hand.got("/api/alarms?state=all")
    found = [alarm for alarm in alarms if alarm["rule"] == "over-temperature"]
    return dict(max(found, key=lambda alarm: alarm["raised_at"]))


async def press(hand: AtHand, alarm: dict[str, Any], key: str, **body: object) -> httpx.Response:
    hand.clock.pass_s(1)
    return await hand.http.post(f"/api/alarms/{alarm['id']}/{key}", json=body)


async def open_latching(hand: AtHand) -> str:
    """Open a lot whose recipe latches the alarm of a pot that is too hot."""
    recipe = read_recipe_document("recipe", RECIPE)
    latching = msgspec.structs.replace(recipe, manners={"over-temperature": Manner(latched=True)})
    pipeline = hand.workshop.pipeline

    def opened(at_us: int) -> LotOpened:
        channels = pipeline.benches[BENCH].channels
        return LotOpened(
            at_us=at_us, bench=BENCH, lot="l", recipe=latching, vessels=2, channels=channels
        )

    await pipeline.give(BENCH, opened)
    return "l"


# ------------------------------------------------------------------ latched


@pytest.mark.asyncio
async def test_a_latched_alarm_is_reset_once_it_is_over_and_seen(hand: AtHand) -> None:
    await open_latching(hand)
    alarm = await hot_alarm(hand)
    assert (alarm["latched"], alarm["state"]) == (True, "active")
    too_early = problem(await press(hand, alarm, "reset"), 409)
    assert too_early["detail"] == (
        "Alarm l.1 is active: its limit does not hold again yet, so it was not reset."
    )
    await pot(hand, COOL)
    assert (await of_the_pot(hand))["state"] == "latched"
    unseen = problem(await press(hand, alarm, "reset"), 409)
    assert "acknowledge it first" in unseen["detail"]
    seen = (await press(hand, alarm, "acknowledge", note="turned down")).json()
    assert (seen["state"], seen["note"]) == ("latched", "turned down")
    assert alarm["id"] in [a["id"] for a in await hand.got("/api/alarms?state=latched")]
    done = (await press(hand, alarm, "reset")).json()
    assert done["state"] == "ended"
    assert done["reset_at"]
    assert problem(await press(hand, alarm, "reset"), 409)


@pytest.mark.asyncio
async def test_an_alarm_that_is_not_latched_is_not_reset(hand: AtHand) -> None:
    await hand.open_lot()
    refused = problem(await press(hand, await hot_alarm(hand), "reset"), 409)
    assert "only a latched alarm is reset" in refused["detail"]


# ------------------------------------------------------------------ shelved


@pytest.mark.asyncio
async def test_a_shelved_alarm_that_flickers_is_not_announced_again(hand: AtHand) -> None:
    await hand.open_lot()
    alarm = await hot_alarm(hand)
    shelved = (await press(hand, alarm, "shelve", minutes=10, reason="melting on full")).json()
    assert (shelved["state"], shelved["shelved_reason"]) == ("shelved", "melting on full")
    await pot(hand, COOL)
    again = await hot_alarm(hand)
    assert again["id"] != alarm["id"]
    assert (again["state"], again["shelved_reason"]) == ("shelved", "melting on full")
    back = (await press(hand, again, "unshelve")).json()
    assert (back["state"], back["shelved_until"]) == ("active", None)
    refused = problem(await press(hand, again, "unshelve"), 409)
    assert "it is not shelved" in refused["detail"]


@pytest.mark.asyncio
async def test_a_reason_to_shelve_is_a_line_and_may_be_missing(hand: AtHand) -> None:
    alarm = await hand.alarm(await hand.open_lot())
    problem(await press(hand, alarm, "shelve", minutes=5, reason="x" * 201), 422)
    assert (await press(hand, alarm, "shelve", minutes=5)).json()["shelved_reason"] == ""


@pytest.mark.asyncio
async def test_the_log_tells_until_when_an_alarm_is_shelved_apart_from_the_reason(
    hand: AtHand,
) -> None:
    await hand.open_lot()
    alarm = await hot_alarm(hand)
    shelved = (await press(hand, alarm, "shelve", minutes=10, reason="melting on full")).json()
    entries = {entry["event"]: entry for entry in await hand.got("/api/alarms/log")}
    told = entries["shelved"]
    assert (told["until"], told["text"]) == (shelved["shelved_until"], "melting on full")
    assert entries["raised"]["until"] is None


@pytest.mark.asyncio
@pytest.mark.parametrize("key", ["acknowledge", "shelve", "unshelve", "reset"])
async def test_nothing_is_done_with_an_alarm_that_is_not_there(hand: AtHand, key: str) -> None:
    body: dict[str, object] = {"minutes": 5} if key == "shelve" else {}
    refused = problem(await press(hand, {"id": "9.9"}, key, **body), 404)
    assert refused["detail"] == "There is no alarm 9.9."


# ------------------------------------------------------------------ out of service


@pytest.mark.asyncio
async def test_a_rule_out_of_service_is_listed_and_not_raised(hand: AtHand) -> None:
    await hand.open_lot()
    taken = await hand.http.post(SERVICE, json={**BROKEN, "subject": POT})
    assert taken.status_code == 201
    assert taken.json() == await hand.got(SERVICE)
    (entry,) = taken.json()
    assert (entry["bench"], entry["rule"], entry["subject"]) == (BENCH, "over-temperature", POT)
    assert (entry["reason"], entry["since"]) == (BROKEN["reason"], "2026-11-25T09:46:40.000Z")
    await pot(hand, HOT)
    assert await hand.got("/api/alarms") == []
    hand.clock.pass_s(1)
    back = await hand.http.post(
        f"{SERVICE}/put-back", json={"rule": "over-temperature", "subject": POT}
    )
    assert (back.status_code, back.json()) == (200, [])
    assert (await of_the_pot(hand))["state"] == "active"


@pytest.mark.asyncio
async def test_an_alarm_that_stands_goes_out_of_service_and_comes_back(hand: AtHand) -> None:
    await hand.open_lot()
    alarm = await hot_alarm(hand)
    await hand.http.post(SERVICE, json=BROKEN)
    out = await of_the_pot(hand)
    assert (out["id"], out["state"]) == (alarm["id"], "out of service")
    assert out["out_of_service"] == BROKEN["reason"]
    await hand.http.post(f"{SERVICE}/put-back", json={"rule": "over-temperature"})
    assert (await of_the_pot(hand))["state"] == "active"


@pytest.mark.asyncio
async def test_what_is_asked_of_a_rule_makes_sense_or_is_refused(hand: AtHand) -> None:
    unknown = problem(await hand.http.post(SERVICE, json={**BROKEN, "rule": "too-loud"}), 404)
    assert "no rule 'too-loud'" in unknown["detail"]
    assert "over-temperature, " in unknown["detail"]
    nowhere = problem(await hand.http.post(SERVICE, json={**BROKEN, "subject": "moon"}), 404)
    assert f"no channel or phase 'moon'; it has {SCALE}, " in nowhere["detail"]
    problem(await hand.http.get("/api/benches/moon/out-of-service"), 404)
    problem(await hand.http.post(SERVICE, json={**BROKEN, "reason": ""}), 422)
    assert (await hand.http.post(SERVICE, json=BROKEN)).status_code == 201
    twice = problem(await hand.http.post(SERVICE, json=BROKEN), 409)
    assert twice["detail"] == ("over-temperature is out of service already: its probe is broken")
    never = problem(await hand.http.post(f"{SERVICE}/put-back", json={"rule": "wax-grams"}), 409)
    assert never["detail"] == "wax-grams is not out of service."


# ------------------------------------------------------------------ suppressed


@pytest.mark.asyncio
async def test_an_alarm_is_suppressed_while_its_thermometer_is_silent(tmp_path: Path) -> None:
    nowhere = SerialScale(str(tmp_path / "nowhere"))
    wired = InstrumentConfig(POT, BENCH, Role.POT, nowhere, 10 * S_US)
    settings = config(tmp_path, instruments=(wired, instrument(JUG, BENCH, Role.PITCHER)))
    async with at_hand(settings) as hand:
        await hand.open_lot()
        for _ in range(4):
            await pot(hand, HOT)
        hand.clock.pass_s(60)
        await until(lambda: len(hand.workshop.pipeline.ledger.alarms) >= 2)
        await hand.workshop.pipeline.write_now()
        suppressed = await of_the_pot(hand)
        assert suppressed["state"] == "suppressed"
        (silent,) = [a for a in await hand.got("/api/alarms") if a["rule"] == "instrument-silent"]
        assert suppressed["suppressed_by"] == silent["id"]
        await pot(hand, HOT)
        assert (await of_the_pot(hand))["state"] == "active"


# ------------------------------------------------------------------ through a restart


@pytest.mark.asyncio
async def test_a_restart_leaves_every_alarm_of_an_open_lot_as_it_was(tmp_path: Path) -> None:
    clock, settings = HandClock(), config(tmp_path)
    async with at_hand(settings, clock) as hand:
        lot = await open_latching(hand)
        order = await hand.alarm(lot)
        await press(hand, order, "acknowledge", note="as it is")
        hot = await hot_alarm(hand)
        await pot(hand, COOL)
        await press(hand, hot, "acknowledge")
        await hand.http.post(SERVICE, json={"rule": "fill-grams", "reason": "old scale"})
        again = await hot_alarm(hand)
        await press(hand, again, "shelve", minutes=30, reason="melting")
        before, out = await hand.got("/api/alarms?state=all"), await hand.got(SERVICE)
    async with at_hand(settings, clock) as hand:
        assert await hand.got("/api/alarms?state=all") == before
        assert {a["rule"]: a["state"] for a in before} == {
            "phase-order": "acknowledged",
            "over-temperature": "shelved",
        }
        assert await hand.got(SERVICE) == out
        await pot(hand, COOL)
        await press(hand, again, "unshelve")
        assert (await of_the_pot(hand))["state"] == "latched"
        refused = problem(await press(hand, again, "reset"), 409)
        assert "acknowledge it first" in refused["detail"]
        await press(hand, again, "acknowledge")
    async with at_hand(settings, clock) as hand:
        assert (await press(hand, again, "reset")).json()["state"] == "ended"
        assert (await hot_alarm(hand))["id"] not in {hot["id"], again["id"]}
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_what_is_out_of_service_stays_so_and_is_given_to_the_next_lot(
    tmp_path: Path,
) -> None:
    clock, settings = HandClock(), config(tmp_path)
    async with at_hand(settings, clock) as hand:
        await hand.http.post(SERVICE, json=BROKEN)
        before = await hand.got(SERVICE)
    async with at_hand(settings, clock) as hand:
        assert await hand.got(SERVICE) == before
        problem(await hand.http.post(SERVICE, json=BROKEN), 409)
        lot = await hand.open_lot()
        await pot(hand, HOT)
        assert await hand.got("/api/alarms") == []
    async with at_hand(settings, clock) as hand:  # the open lot is replayed
        (opened,) = [s.event for s in hand.workshop.history.events_of([LotOpened])]
        assert isinstance(opened, LotOpened)
        assert opened.lot == lot
        assert opened.out_of_service == (
            OutOfService("over-temperature", None, "its probe is broken"),
        )
        assert await hand.got("/api/alarms") == []
        await hand.http.post(f"/api/lots/{lot}/close")
        assert await hand.got(SERVICE) == before
    assert verify(tmp_path) == []


@pytest.mark.asyncio
async def test_shelving_between_lots_survives_a_restart_and_the_next_lot(tmp_path: Path) -> None:
    clock, settings = HandClock(), silent_config(tmp_path)
    async with at_hand(settings, clock) as hand:
        silent = await silence(hand)
        await press(hand, silent, "shelve", minutes=60, reason="scale is at the shop")
    async with at_hand(settings, clock) as hand:
        again = await silence(hand)
        assert again["id"] != silent["id"]
        assert (again["state"], again["shelved_reason"]) == ("shelved", "scale is at the shop")


def silent_config(folder: Path) -> Config:
    nowhere = SerialScale(str(folder / "nowhere"))
    return config(
        folder, instruments=(InstrumentConfig(SCALE, BENCH, Role.SCALE, nowhere, 10 * S_US),)
    )


async def silence(hand: AtHand) -> dict[str, Any]:
    """Wait until the scale that is not there is said to be silent, and return that alarm."""
    known = len(hand.workshop.pipeline.ledger.alarms)
    hand.clock.pass_s(30)
    await until(lambda: len(hand.workshop.pipeline.ledger.alarms) > known)
    alarms = await hand.got("/api/alarms?state=all")
    return dict(max(alarms, key=lambda alarm: alarm["raised_at"]))


# ------------------------------------------------------------------ log and figures


@pytest.mark.asyncio
async def test_log_and_figures_tell_what_became_of_the_alarms(hand: AtHand) -> None:
    await hand.open_lot()
    alarm = await hot_alarm(hand)
    hand.clock.pass_s(29)
    await press(hand, alarm, "acknowledge", note="turned down")
    await pot(hand, COOL)
    await hand.http.post(SERVICE, json=BROKEN)
    log = await hand.got("/api/alarms/log")
    assert [(entry["event"], entry["state"], entry["text"]) for entry in log] == [
        ("raised", "active", alarm["message"]),
        ("acknowledged", "acknowledged", "turned down"),
        ("cleared", "ended", "back to 85.0 °C"),
        ("taken out of service", None, "its probe is broken"),
    ]
    figures = await hand.got("/api/alarms/figures?from=2026-11-25T09:00:00Z&to=2026-11-25T11:00Z")
    assert (figures["alarms"], figures["per_hour"]) == (1, 0.5)
    assert figures["answers"] == {
        "acknowledged": 1,
        "never": 0,
        "median_seconds": 30.0,
        "p95_seconds": 30.0,
    }
    assert figures["priorities"][0] == {"priority": "high", "alarms": 1, "share": 1.0}
    assert [target["met"] for target in figures["targets"]] == [True, True, True]
    assert await hand.got("/api/alarms/log?to=2026-11-25T09:46:40Z") == []


@pytest.mark.asyncio
@pytest.mark.parametrize("what", ["log", "figures"])
@pytest.mark.parametrize(
    "span",
    [
        "from=2026-11-25T10:00:00Z&to=2026-11-25T09:00:00Z",
        "from=2026-11-25T10:00:00",  # of which time zone?
        "to=soon",
    ],
)
async def test_a_span_that_is_none_is_refused(hand: AtHand, what: str, span: str) -> None:
    problem(await hand.http.get(f"/api/alarms/{what}?{span}"), 422)


@pytest.mark.asyncio
async def test_the_command_prints_log_and_figures_of_a_data_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_hand(config(tmp_path)) as hand:
        assert main(["alarms", "--data", str(tmp_path)]) == 0
        assert capsys.readouterr().out == f"{tmp_path}: no alarms yet\n"
        await hand.open_lot()
        await press(hand, await hot_alarm(hand), "acknowledge", note="turned down")
    assert main(["alarms", "--data", str(tmp_path)]) == 0
    first, second, *figures = capsys.readouterr().out.splitlines()
    assert first.startswith("2026-11-25 09:46:41  2026-11-25-1.1   raised       over-temperature")
    assert second.endswith(f"over-temperature ({POT})  turned down")
    assert figures[0].startswith("1 alarms, ")
    assert main(["alarms", "--json", "--data", str(tmp_path), "--to", "2026-11-25T09:46:42"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert [entry["event"] for entry in shown["log"]] == ["raised"]
    assert shown["figures"]["answers"]["never"] == 1
