"""Instruments that vanish, come back, appear late, or talk nonsense, in the running service."""

from pathlib import Path

from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import DEVICE, IN_WINDOW_C, JUG, SCALE, write_config
from screen_watch import ScreenWatch, Told
from service_process import Service, eventually, serving

A_FEW_S = 5.0
BACK_S = 8.0
"""A port is tried again after at most 5 s; a loaded machine adds to that."""


def silent(screen: ScreenWatch, instrument: str, state: str) -> Told:
    """Return the alarm of an instrument in a state, once it is told."""
    return screen.wait_for(
        lambda told: (
            told.name == "alarm"
            and (told.data["rule"], told.data["subject"]) == ("instrument-silent", instrument)
            and told.data["state"] == state
        )
    )


def reads(service: Service, name: str) -> bool:
    return bool(service.instrument(name)["state"] == "reading")


def test_a_probe_that_is_pulled_out_is_said_and_picked_up_again(tmp_path: Path) -> None:
    probes = ProbeFiles(tmp_path / "w1")
    probes.set(DEVICE, IN_WINDOW_C)
    with (
        HandMadeScale(tmp_path / "scale"),
        serving(write_config(tmp_path)) as service,
        ScreenWatch(service.base) as screen,
    ):
        eventually(lambda: reads(service, JUG))
        probes.remove(DEVICE)
        alarm = silent(screen, JUG, "active")
        lost = service.instrument(JUG)
        assert lost["state"] == "lost"
        assert DEVICE in lost["reason"]
        assert lost["remedy"]
        assert lost["reason"] in alarm.data["message"]
        screen.wait_for(
            lambda told: told.name == "instrument" and told.data["state"] == "lost", A_FEW_S
        )
        probes.set(DEVICE, 65.0)
        cleared = silent(screen, JUG, "cleared")
        assert cleared.data["id"] == alarm.data["id"]
        assert cleared.data["outcome"]
        back = service.instrument(JUG)
        assert (back["state"], back["reason"], back["last"]["value"]) == ("reading", None, 65.0)
        assert {t.data["subject"] for t in screen.journal() if t.name == "alarm"} == {JUG}


def test_a_scale_that_is_unplugged_is_picked_up_behind_the_same_name(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, IN_WINDOW_C)
    with (
        HandMadeScale(tmp_path / "scale") as scale,
        serving(write_config(tmp_path)) as service,
        ScreenWatch(service.base) as screen,
    ):
        scale.put(41.5, 0)
        eventually(lambda: reads(service, SCALE))
        scale.unplug()
        alarm = silent(screen, SCALE, "active")
        lost = service.instrument(SCALE)
        assert lost["state"] == "lost"
        assert str(tmp_path / "scale") in lost["reason"]
        assert "Plug it in" in lost["remedy"]
        scale.plug()
        eventually(lambda: reads(service, SCALE), BACK_S)
        assert silent(screen, SCALE, "cleared").data["id"] == alarm.data["id"]
        assert service.instrument(SCALE)["last"]["value"] == 41.5


def test_a_scale_that_is_not_there_yet_is_said_and_taken_when_it_comes(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, IN_WINDOW_C)
    with serving(write_config(tmp_path)) as service:
        eventually(lambda: service.instrument(SCALE)["state"] == "lost")
        lost = service.instrument(SCALE)
        assert lost["reason"] == f"There is no {tmp_path / 'scale'}"
        assert lost["remedy"]
        assert lost["last"] is None
        with HandMadeScale(tmp_path / "scale"):
            eventually(lambda: reads(service, SCALE), BACK_S)


def test_junk_on_the_line_is_counted_and_never_a_reading(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, IN_WINDOW_C)
    with (
        HandMadeScale(tmp_path / "scale") as scale,
        serving(write_config(tmp_path)) as service,
        ScreenWatch(service.base) as screen,
    ):
        scale.put(77.7, 0)
        eventually(lambda: reads(service, SCALE))
        assert service.instrument(SCALE)["rejected"] == {}
        scale.send(b"\r\n\xff\xfe\x00 cheese 123 g g g\r\n")  # junk
        scale.send(b"ST,GS,+0012\r\n")  # partial: the number is there, its unit is not
        scale.send(b"9" * 400 + b" g\r\n")  # overlong
        scale.send(b"ST,GS,+00099.9,stone stone stone\r\n")
        eventually(lambda: sum(service.instrument(SCALE)["rejected"].values()) >= 4)
        rejected = service.instrument(SCALE)["rejected"]
        assert rejected["line too long"] == 1
        assert rejected["not a weighing"] >= 2
        scale.put(77.7, 0.5)
        told = [t for t in screen.told if t.name == "reading" and t.data["channel"] == SCALE]
        assert {t.data["value"] for t in told if t.data["value"] != 0.0} == {77.7}
        assert service.instrument(SCALE)["state"] == "reading"


def test_a_request_to_stop_ends_it_at_once_with_a_screen_open(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, IN_WINDOW_C)
    with (
        HandMadeScale(tmp_path / "scale"),
        serving(write_config(tmp_path)) as service,
        ScreenWatch(service.base) as screen,
    ):
        eventually(lambda: reads(service, SCALE))
        code, took_s = service.stop()
        assert code == 0
        assert took_s < 4.0
        assert screen.ended.wait(2)
        assert "Traceback" not in service.log.read_text()
    left = sorted(path.name for path in (tmp_path / "data").iterdir())
    assert left == ["pourkeep.db", "pourkeep.lock"]  # the write-ahead log is folded in
