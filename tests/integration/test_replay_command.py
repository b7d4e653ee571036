"""`pourkeep replay` on lots in a store. The lots are the simulated maker's, with her mishaps."""

import asyncio
import json
import time
from collections.abc import Sequence
from pathlib import Path

import msgspec
import pytest
from made_lots import judged, made_day
from many_lots import Made, days_later, store_lots

from api.command_line.entry import main
from api.judging import WORTH_A_PROCESS
from collector.alarm_events import AlarmRaised
from collector.events import AnyEvent
from collector.lot_events import LotOpened
from collector.readings import Reading
from collector.service_events import ReadingsExpired
from collector.store import Store

LOT = "2026-11-25-1"
YEAR = 250
"""The working days of a year, a lot on each."""
QUICK_S = 0.5

TIGHTER = """
name = "Tiny tide, tighter"
vessel = { fill = "120 g", tolerance = "0.1 g" }
pitcher = { capacity = "800 g", residue = "12 g" }
wax = { name = "coconut blend", never_above = "92 degC" }
fragrance = { name = "tiny tide", load = "8 %", load_of = "wax", add_between = ["66 degC", "68 degC"] }
stir = { at_least = "20 s" }
pour = { between = ["63 degC", "70 degC"] }
"""  # noqa: E501 - a TOML table stands on one line

PATIENT = """
name = "Quiet harbor, patient"
vessel = { fill = "200 g", tolerance = "2 g" }
pitcher = { capacity = "1400 g", residue = "12 g" }
wax = { name = "soy flake", never_above = "95 degC" }
fragrance = { name = "quiet harbor", load = "7 %", load_of = "wax", add_between = ["60 degC", "83 degC"] }
stir = { at_least = "120 s" }
pour = { between = ["54 degC", "60 degC"] }
set = { at_least = "24 h" }
"""  # noqa: E501 - as above


@pytest.fixture(scope="module")
def made() -> Made:
    """Give a lot of a simulated day as readings and journal."""
    return judged(made_day("short", lots=1))


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "tighter.toml"
    path.write_text(TIGHTER)
    return path


def store(folder: Path, readings: Sequence[Reading], journal: Sequence[AnyEvent]) -> Path:
    return store_lots(folder, [(readings, journal)])


def replayed(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    code = main(["replay", *map(str, arguments)])
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_a_stored_lot_comes_out_byte_for_byte(
    tmp_path: Path, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = store(tmp_path, *made)
    code, out, _ = replayed(capsys, LOT, "--data", folder)
    assert code == 0
    assert "identical byte for byte" in out
    opened_us, closed_us = made[1][0].at_us, made[1][-1].at_us
    during = [reading for reading in made[0] if opened_us <= reading.taken_us <= closed_us]
    assert f"{len(during):,} readings" in out


def test_the_store_can_be_read_while_its_service_has_it_open(
    tmp_path: Path, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    store(tmp_path, *made)
    held = Store.open(tmp_path)
    try:
        assert replayed(capsys, LOT, "--data", tmp_path)[0] == 0
    finally:
        held.close()


def test_an_open_lot_can_be_judged_again_too(
    tmp_path: Path, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    readings, journal = made
    until_us = journal[len(journal) // 2].at_us
    folder = store(
        tmp_path,
        [reading for reading in readings if reading.taken_us <= until_us],
        [event for event in journal if event.at_us <= until_us],
    )
    assert replayed(capsys, LOT, "--data", folder)[0] == 0


def test_a_lot_that_was_judged_otherwise_names_the_first_difference(
    tmp_path: Path, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    readings, journal = made
    place = next(n for n, event in enumerate(journal) if hasattr(event, "mass_mg"))
    altered = [*journal]
    altered[place] = msgspec.structs.replace(journal[place], mass_mg=1)
    code, out, _ = replayed(capsys, LOT, "--data", store(tmp_path, readings, altered))
    assert code == 1
    assert "mass_mg is kept as 1, judged now it is" in out


def test_a_tighter_recipe_says_what_would_have_been_told(
    tmp_path: Path, made: Made, recipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = store(tmp_path, *made)
    code, out, _ = replayed(capsys, LOT, "--data", folder, "--recipe", recipe)
    assert code == 0
    (told,) = [line for line in out.splitlines() if "Fragrance added too hot" in line]
    assert "would have been told at 09:" in told
    assert "the window is 66.0 to 68.0 °C." in told
    assert "add fragrance of pitcher 1: 66.0 to 68.0 °C instead of 70.0 to 80.0 °C" in out
    assert "stir of pitcher 1: at least 20 s instead of at least 30 s" in out
    assert "set of pitcher 1: would not have been a phase of this lot" in out
    off = [line for line in out.splitlines() if "± 0.1 g instead of 120.0 g ± 2.0 g" in line]
    assert any("off, not within" in line for line in off)


def test_a_more_patient_recipe_says_what_would_not_have_been_told(
    tmp_path: Path, recipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = judged(made_day("one_mistake", lots=1))
    (raised,) = [event for event in made[1] if isinstance(event, AlarmRaised)]
    recipe.write_text(PATIENT)
    folder = store(tmp_path, *made)
    _, out, _ = replayed(capsys, LOT, "--data", folder, "--recipe", recipe)
    (told,) = [line for line in out.splitlines() if "told" in line]
    assert told.strip().startswith(f"would not have been told: {raised.message} (")


def test_the_same_as_data(
    tmp_path: Path, made: Made, recipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = store(tmp_path, *made)
    _, out, _ = replayed(capsys, LOT, "--data", folder, "--recipe", recipe, "--json")
    shown = json.loads(out)
    assert (shown["lot"], shown["identical"], shown["difference"]) == (LOT, True, None)
    (new,) = [d for d in shown["what_if"]["deviations"] if d["rule"] == "fragrance-temperature"]
    assert (new["change"], new["before"]) == ("new", None)
    assert new["after"]["limit"] == {"low": 66.0, "high": 68.0}


def test_many_lots_a_line_each_and_sums_by_rule(
    tmp_path: Path, made: Made, recipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    days = range(WORTH_A_PROCESS + 1)  # more than one process where there are cores
    store_lots(tmp_path, (days_later(made, day) for day in days))
    code, out, _ = replayed(capsys, "--all", "--data", tmp_path)
    assert code == 0
    lines = out.splitlines()
    assert sum("identical" in line for line in lines[:-1]) == len(days)
    assert [line[: len(LOT) + 3] for line in lines[: len(days)]] == [f"{LOT}{d:03}" for d in days]
    span = ("--since", "2026-11-26", "--until", "2026-11-27", "--data", tmp_path)
    _, out, _ = replayed(capsys, "--all", *span, "--recipe", recipe)
    assert "fragrance-temperature  2 new, 0 gone, 0 other" in out
    assert "--of NAME" not in out


def another_candle(made: Made) -> Made:
    readings, (opened, *journal) = made
    assert isinstance(opened, LotOpened)
    recipe = msgspec.structs.replace(opened.recipe, name="Another candle")
    return readings, [msgspec.structs.replace(opened, recipe=recipe), *journal]


def test_lots_of_several_recipes_can_be_judged_recipe_by_recipe(
    tmp_path: Path, made: Made, recipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store_lots(tmp_path, [days_later(made, 0), another_candle(days_later(made, 1))])
    every = ("--all", "--data", tmp_path, "--recipe", recipe)
    _, out, _ = replayed(capsys, *every)
    assert "Deviations of 2 lots" in out
    assert "They are lots of 2 recipes: --of NAME judges those of one." in out
    _, out, _ = replayed(capsys, *every, "--of", "Another candle")
    assert "Deviations of 1 lot under" in out
    assert "--of NAME" not in out
    _, out, _ = replayed(capsys, *every, "--of", "nobody's")
    assert out == f"{tmp_path}: no lots of that choice\n"


def removed(folder: Path, journal: Sequence[AnyEvent]) -> Path:
    """Let the journal of a folder say that its readings were removed after the lot."""
    last_us = max(event.at_us for event in journal)
    gone = ReadingsExpired(at_us=last_us + 1, bench=None, lot=None, before_us=last_us, readings=9)
    opened = Store.open(folder)
    asyncio.run(opened.commit([], [gone]))
    opened.close()
    return folder


def test_a_lot_whose_readings_were_removed_is_not_called_different(
    made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = removed(store(tmp_path, *made), made[1])
    assert main(["replay", LOT, "--data", str(folder)]) == 1
    assert "cannot be judged again" in capsys.readouterr().err
    assert main(["replay", "--all", "--data", str(folder)]) == 0
    out, err = capsys.readouterr()
    assert "1 of 1 lots are left out: readings of theirs were removed." in err
    assert "no lots yet" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("2026-11-25-9",), (1, "There is no lot '2026-11-25-9'")),
        ((LOT, "--recipe", "nowhere.toml"), (2, "nowhere.toml: there is no such file")),
        ((LOT, "--since", "2026-11-25"), (2, "use --all")),
        ((LOT, "--of", "Tiny tide"), (2, "use --all")),
    ],
)
def test_what_is_not_there_is_said_in_a_sentence(
    tmp_path: Path,
    made: Made,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    said: tuple[int, str],
) -> None:
    folder = store(tmp_path, *made)
    found, _, error = replayed(capsys, *arguments, "--data", folder)
    assert found == said[0]
    assert said[1] in error
    assert error.count("\n") == 1


def test_a_year_of_lots_is_listed_at_once(
    tmp_path: Path, made: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    store_lots(tmp_path, (([], days_later(made, day)[1]) for day in range(YEAR)))
    began = time.process_time()
    assert main(["lots", "--data", str(tmp_path)]) == 0
    took_s = time.process_time() - began
    listed = capsys.readouterr().out.splitlines()
    assert len(listed) == YEAR
    assert all("2 of 2 vessels" in line for line in listed)
    assert took_s < QUICK_S


def test_a_folder_without_lots_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert replayed(capsys, "--all", "--data", tmp_path)[0] == 1
    store(tmp_path, [], [])
    assert replayed(capsys, "--all", "--data", tmp_path)[:2] == (0, f"{tmp_path}: no lots yet\n")
