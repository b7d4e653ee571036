"""The commands that look at a config or a data folder."""

import sqlite3
from pathlib import Path

import pytest
from hand_made_bench import HandMadeScale, ProbeFiles
from lot_by_hand import BENCH, DEVICE, RECIPE, write_config
from service_process import json_of, lines, pourkeep, serving


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
    assert "1999-01-01-1" in done.stderr
    assert "Traceback" not in done.stderr


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
