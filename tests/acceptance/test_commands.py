"""The commands that look at a config or a data folder."""

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import BENCH, DEVICE, RECIPE, write_config
from service_process import ENTRY, json_of, lines, pourkeep, serving
from test_refused_starts import RECIPE_TOML

from api.command_line.demo import SCENARIOS
from collector.store.store import Store
from simulators.scenario import scenario_names


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a data folder with one lot closed and one open."""
    folder = tmp_path_factory.mktemp("commands")
    with serving(write_config(folder)) as service:
        service.post("/api/recipes", RECIPE)
        opening = {"recipe": RECIPE["name"], "vessels": 2, "bench": BENCH}
        first = service.post("/api/lots", opening)["id"]
        service.post(f"/api/lots/{first}/marks", {"phase": "stir", "edge": "begin"})
        service.post(f"/api/lots/{first}/close", {}, 200)
        service.post("/api/lots", opening)
        assert service.stop()[0] == 0
    return folder / "data"


def ids(data: Path) -> list[str]:
    return [entry["id"] for entry in json_of("lots", "--json", "--data", data)]


def test_check_tries_each_instrument(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, 71.5)
    config = write_config(tmp_path)
    with HandMadeScale(tmp_path / "scale") as scale:
        scale.put(12.3, 0)
        done = pourkeep("check", "--config", config)
    assert done.returncode == 0, done.stdout
    understood, of_scale, of_jug = lines(done.stdout)
    assert understood == f"{config}: understood"
    assert of_scale.startswith("ok   jetty-scale: 12.3 g")
    assert of_jug.startswith("ok   jetty-jug: 71.5 ")


def test_check_says_which_instrument_fails_and_what_to_do(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, 71.5)
    done = pourkeep("check", "--config", write_config(tmp_path))
    assert done.returncode == 1
    _, of_scale, of_jug = lines(done.stdout)
    assert of_scale.startswith(f"FAIL jetty-scale: There is no {tmp_path / 'scale'}. Plug it in")
    assert of_jug.startswith("ok   jetty-jug: 71.5 ")


def with_recipe(folder: Path, text: str) -> Path:
    """Write a workshop whose recipe folder holds one recipe, and whose scale is not there."""
    (folder / "recipes").mkdir()
    (folder / "recipes" / "marram.toml").write_text(text)
    config = write_config(folder)
    written = config.read_text()
    config.write_text(written.replace("[[bench]]", 'recipes = "./recipes"\n[[bench]]', 1))
    return config


def test_check_names_each_recipe(tmp_path: Path) -> None:
    ProbeFiles(tmp_path / "w1").set(DEVICE, 71.5)
    done = pourkeep("check", "--config", with_recipe(tmp_path, RECIPE_TOML))
    assert lines(done.stdout)[1] == "ok   recipes/marram.toml: Marram, 120 g"


def test_check_refuses_a_recipe_as_serve_does(tmp_path: Path) -> None:
    config = with_recipe(tmp_path, RECIPE_TOML.replace('"2 g"', '"2 degC"'))
    checked, served = (pourkeep(command, "--config", config) for command in ("check", "serve"))
    assert (checked.returncode, served.returncode) == (2, 2)
    assert "marram.toml:4: vessel.tolerance: " in checked.stderr
    assert checked.stderr == served.stderr


def test_check_refuses_two_recipes_of_one_name_as_serve_does(tmp_path: Path) -> None:
    config = with_recipe(tmp_path, RECIPE_TOML)
    (tmp_path / "recipes" / "second.toml").write_text(RECIPE_TOML)
    checked, served = (pourkeep(command, "--config", config) for command in ("check", "serve"))
    assert (checked.returncode, served.returncode) == (2, 2)
    assert "marram.toml has this name already" in checked.stderr
    assert checked.stderr == served.stderr


def test_check_refuses_a_config_with_its_line(tmp_path: Path) -> None:
    config = write_config(tmp_path)
    config.write_text(config.read_text().replace("[api]", "[app]"))
    done = pourkeep("check", "--config", config)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"pourkeep: {config}:26: app: unknown key")
    assert done.stderr.count("\n") == 1


def test_lots_are_listed_for_a_person_and_for_a_program(data: Path) -> None:
    second, first = json_of("lots", "--json", "--data", data)
    assert (first["state"], second["state"]) == ("closed", "open")
    listed = lines(pourkeep("lots", "--data", data).stdout)
    assert [line.split()[:2] for line in listed] == [
        [second["id"], "open"],
        [first["id"], "closed"],
    ]
    assert all(RECIPE["name"] in line for line in listed)


def test_a_lot_is_shown_for_a_person_and_for_a_program(data: Path) -> None:
    first = ids(data)[-1]
    record = json_of("lot", first, "--json", "--data", data)
    assert (record["id"], record["state"], record["vessels"]) == (first, "closed", 2)
    assert record["recipe"]["document"] == RECIPE
    shown = pourkeep("lot", first, "--data", data).stdout
    assert shown.startswith(f"Lot {first}: Marram, 120 g, 2 vessels, closed\n")
    for deviation in record["deviations"]:
        assert deviation["message"] in shown


def test_a_lot_that_is_not_there_fails_with_a_sentence(data: Path) -> None:
    done = pourkeep("lot", "1999-01-01-1", "--data", data)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == (
        f"pourkeep: There is no lot '1999-01-01-1'. pourkeep lots --data {data} lists them.\n"
    )


def test_a_lot_shown_for_a_person_says_once_that_its_times_are_utc(data: Path) -> None:
    shown = pourkeep("lot", ids(data)[-1], "--data", data).stdout
    assert shown.count("UTC") == 1
    times = re.findall(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d\S*", shown)
    assert len(times) >= 3  # opened, closed, and the stirring
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d,?", time) for time in times)


@pytest.mark.parametrize("command", [("lots",), ("lot", "x"), ("verify",)])
def test_a_folder_without_a_store_fails_with_a_sentence(
    tmp_path: Path, command: tuple[str, ...]
) -> None:
    done = pourkeep(*command, "--data", tmp_path)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"pourkeep: {tmp_path}: there is no pourkeep.db")
    assert list(tmp_path.iterdir()) == []


def test_a_command_called_wrong_is_refused() -> None:
    assert pourkeep("pour").returncode == 2
    assert pourkeep("demo", "--speed", "0").returncode == 2
    assert pourkeep().returncode == 2


@pytest.mark.parametrize(
    ("option", "value", "sentence"),
    [
        ("--speed", "abc", "a speed is a number above 0 and at most 1000, not 'abc'"),
        ("--speed", "nan", "a speed is a number above 0 and at most 1000, not 'nan'"),
        ("--port", "99999", "a port is a whole number from 0, for any that is free, to 65535"),
        ("--scenario", "doldrums", "there is no simulated day 'doldrums'; choose one of clean, "),
    ],
)
def test_a_demo_called_wrong_is_refused_in_a_sentence(
    option: str, value: str, sentence: str
) -> None:
    done = pourkeep("demo", option, value)
    assert (done.returncode, done.stdout) == (2, "")
    assert sentence in done.stderr


def test_the_demo_offers_the_days_that_the_simulators_have() -> None:
    assert list(SCENARIOS) == scenario_names()


def test_a_demo_whose_port_is_taken_names_the_option() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        done = pourkeep("demo", "--port", str(other.getsockname()[1]))
    assert (done.returncode, done.stdout) == (1, "")
    assert "choose another with --port." in done.stderr
    assert "[api]" not in done.stderr


def test_a_demo_does_not_mix_its_day_into_lots_that_are_there(data: Path) -> None:
    done = pourkeep("demo", "--once", "--port", "0", "--data", data)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == (
        f"pourkeep: {data} already holds lots; choose another folder or remove it.\n"
    )


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_demo_that_is_stopped_ends_in_a_line_and_warns_of_nothing(
    number: signal.Signals,
) -> None:
    """The signal reaches the whole group, as Ctrl+C in a terminal does."""
    with subprocess.Popen(
        [sys.executable, "-c", ENTRY, "demo", "--port", "0", "--scenario", "clean"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as demo:
        assert demo.stdout is not None
        assert demo.stderr is not None
        assert "the simulated day is on" in demo.stdout.readline()
        assert "opens lot" in demo.stderr.readline()
        os.killpg(demo.pid, number)
        said, complained = demo.communicate(timeout=20)
    assert (demo.returncode, said) == (0, "pourkeep: the demo ended\n")
    assert not re.search("WARNING|ERROR|Traceback|stopped", complained), complained


def test_a_demo_in_the_background_of_a_script_still_ends_when_told_to() -> None:
    """A shell starts such a job with SIGINT ignored (POSIX, shell command language, 2.11)."""
    ignoring = "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN); "
    with subprocess.Popen(
        [sys.executable, "-c", ignoring + ENTRY, "demo", "--port", "0", "--scenario", "clean"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as demo:
        assert demo.stdout is not None
        assert "the simulated day is on" in demo.stdout.readline()
        demo.terminate()
        try:
            said, _ = demo.communicate(timeout=20)
        finally:
            demo.kill()  # nothing where it has ended
    assert (demo.returncode, said) == (0, "pourkeep: the demo ended\n")


def test_verify_says_where_a_changed_byte_is(data: Path, tmp_path: Path) -> None:
    assert pourkeep("verify", "--data", data).returncode == 0
    copy = tmp_path / "pourkeep.db"
    copy.write_bytes((data / "pourkeep.db").read_bytes())
    whole = copy.read_bytes()
    place = whole.index(b'"type":"phase-marked"')
    assert b'"edge":"begin"' in whole[place - 400 : place + 400]
    at = whole.index(b'"edge":"begin"', place - 400) + len(b'"edge":"')
    copy.write_bytes(whole[:at] + b"B" + whole[at + 1 :])
    with sqlite3.connect(copy) as connection:
        (seq,) = connection.execute("SELECT seq FROM event WHERE kind = 'phase-marked'").fetchone()
    connection.close()
    done = pourkeep("verify", "--data", tmp_path)
    assert done.returncode == 1
    assert str(seq) in done.stdout
    assert "Traceback" not in done.stderr


def test_a_reader_that_has_seen_enough_causes_no_complaint(tmp_path: Path) -> None:
    Store.open(tmp_path).close()
    command = [sys.executable, "-c", ENTRY, "alarms", "--data", str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.close()
        _, complaint = process.communicate(timeout=30)
    assert complaint == b""
