"""What cannot work is refused before it starts, in one line that says what to do."""

import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from lot_by_hand import CONFIG, write_config
from service_process import ENTRY, pourkeep, serving

RECIPE_TOML = """name = "Marram, 120 g"
[vessel]
fill = "120 g"
tolerance = "2 g"
[wax]
name = "soy blend"
[fragrance]
name = "sea holly"
load = "8 %"
load_of = "wax"
add_between = ["80 degC", "85 degC"]
[stir]
at_least = "20 s"
"""


def refused(config: Path) -> str:
    """Return the one line that a refused start says."""
    done = pourkeep("serve", "--config", config)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1, done.stderr
    return done.stderr


@pytest.mark.parametrize(
    ("before", "after", "line", "expected"),
    [
        ('timezone = "UTC"', 'timezone = "UTC"\ncolour = "grey"', 5, "keys allowed here are"),
        ('every = "0.5 s"', 'every = "0.5 g"', 24, "expected a duration"),
        ('role = "scale"', 'role = "ladle"', 13, 'expected one of "scale"'),
        ('bench = "jetty"\nrole = "pitcher"', 'bench = "jety"\nrole = "pitcher"', 19, "jetty"),
        ("port = 0", "port = 99999", 27, "0 to 65535"),
        ("port = 0", 'host = "0.0.0.0"', 27, "tokens"),
        ("port = 0", "port = ", 27, "alue"),
        ('timezone = "UTC"', 'timezone = "Atlantis"', 4, "IANA"),
        ('data = "./data"', 'data = "./data"\nrecipes = "./none"', 6, "there is no folder"),
    ],
)
def test_a_config_that_cannot_be_used_names_file_line_and_what_was_expected(
    tmp_path: Path, before: str, after: str, line: int, expected: str
) -> None:
    path = tmp_path / "workshop.toml"
    path.write_text(CONFIG.format(folder=tmp_path).replace(before, after, 1))
    said = refused(path)
    assert said.startswith(f"pourkeep: {path}:{line}: ")
    assert expected in said
    assert not (tmp_path / "data").exists()


def test_a_config_that_is_not_there_is_said(tmp_path: Path) -> None:
    said = refused(tmp_path / "nowhere.toml")
    assert str(tmp_path / "nowhere.toml") in said
    assert "pourkeep demo --empty" in said


@pytest.mark.parametrize(
    ("before", "after", "line", "expected"),
    [
        ('fill = "120 g"', 'fill = "120 g"\ncolour = "grey"', 4, "unknown key"),
        ('fill = "120 g"', 'fill = "120 degC"', 3, "expected a mass"),
        ('["80 degC", "85 degC"]', '["85 degC", "80 degC"]', 11, "inverted"),
        ('tolerance = "2 g"\n', "", 2, "tolerance"),
    ],
)
def test_a_recipe_file_that_cannot_be_used_names_file_line_and_what_was_expected(
    tmp_path: Path, before: str, after: str, line: int, expected: str
) -> None:
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    (recipes / "marram.toml").write_text(RECIPE_TOML.replace(before, after, 1))
    config = tmp_path / "workshop.toml"
    text = CONFIG.format(folder=tmp_path)
    config.write_text(text.replace("[[bench]]", 'recipes = "./recipes"\n[[bench]]', 1))
    said = refused(config)
    assert f"marram.toml:{line}: " in said
    assert expected in said


def test_a_port_that_is_taken_is_said_in_a_sentence(tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        config = write_config(tmp_path)
        config.write_text(config.read_text().replace("port = 0", f"port = {port}"))
        done = pourkeep("serve", "--config", config)
    assert (done.returncode, done.stdout) == (1, "")
    assert f"pourkeep: Cannot listen on 127.0.0.1 port {port}" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_second_service_on_the_same_data_names_the_first(tmp_path: Path) -> None:
    config = write_config(tmp_path)
    with serving(config) as service:
        done = pourkeep("serve", "--config", config)
        assert (done.returncode, done.stdout) == (1, "")
        assert str(service.process.pid) in done.stderr
        assert "Traceback" not in done.stderr
        assert service.get("/api/workshop")["name"] == "Jetty Lane"


def test_a_data_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a file, not a folder")
    done = pourkeep("serve", "--config", write_config(tmp_path))
    assert done.returncode == 1
    assert str(tmp_path / "data") in done.stderr
    assert "Traceback" not in done.stderr


def test_a_defect_ends_the_process_rather_than_leave_a_page_without_a_service(
    tmp_path: Path,
) -> None:
    """A bench that breaks at the first tick stands for a defect that nobody knows."""
    broken = (
        "import collector.pipeline as p\n"
        "class Broken(p.Bench):\n"
        "    def feed(self, item):\n"
        "        raise ZeroDivisionError('a defect')\n"
        "import collector.workshop as w\n"
        "w.Bench = Broken\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", broken + ENTRY, "serve", "--config", str(write_config(tmp_path))],
        capture_output=True,
        text=True,
        timeout=20,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.splitlines()[-1].startswith("pourkeep: The service stopped over a defect")
    assert "ZeroDivisionError" in done.stderr  # the log has what to report


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_either_way_to_stop_is_no_failure(tmp_path: Path, number: signal.Signals) -> None:
    with serving(write_config(tmp_path)) as service:
        service.process.send_signal(number)
        assert service.process.wait(5) == 0
