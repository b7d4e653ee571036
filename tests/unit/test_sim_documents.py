"""Scenario and recipe documents of the simulators, and their command line."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from simulators.command_line import main
from simulators.layout import Layout
from simulators.recipe_card import amount, read_card
from simulators.scenario import FOLDER, ScenarioError, load_scenario, read_scenario


def short_document() -> dict[str, Any]:
    return tomllib.loads((FOLDER / "short.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("text", "number"),
    [("220 g", 220.0), ("1.5 kg", 1500.0), ("8 %", 0.08), ("2 min", 120.0), ("85 degC", 85.0)],
)
def test_a_quantity_is_read_with_its_unit(text: str, number: float) -> None:
    assert amount(text) == pytest.approx(number)


@pytest.mark.parametrize("text", ["220", "220 stone", "g", "eight %"])
def test_a_quantity_without_a_known_unit_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        amount(text)


def test_fragrance_follows_the_wax_by_load_of_wax_or_of_total() -> None:
    # By hand: 8 % of 500 g is 40 g; 9 % of a total of 1000 g goes with 910 g of wax.
    document = short_document()["recipe"][0]
    assert read_card(document).fragrance_for(500.0) == pytest.approx(40.0)
    document["fragrance"] |= {"load": "9 %", "load_of": "total"}
    assert read_card(document).fragrance_for(910.0) == pytest.approx(90.0)


def test_an_unknown_scenario_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(ScenarioError, match=r"no scenario 'nowhere'; there are: clean, .*short"):
        load_scenario("nowhere")


def test_an_unknown_key_of_a_scenario_is_refused() -> None:
    with pytest.raises(TypeError, match="rooom_degc"):
        read_scenario("odd", short_document() | {"rooom_degc": 20.0})


def test_an_unknown_mishap_is_refused() -> None:
    document = short_document()
    document["lot"][0]["fault"] = [{"kind": "cat on the scale"}]
    with pytest.raises(ValueError, match="cat on the scale"):
        read_scenario("odd", document)


def test_layout_prints_the_instruments_of_the_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["layout", "--dir", str(tmp_path)]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert listed == Layout(tmp_path).instruments()
    assert [(item["role"], item["kind"]) for item in listed] == [
        ("scale", "serial-scale"),
        ("pitcher", "one-wire"),
        ("pot", "one-wire"),
        ("room", "one-wire"),
    ]
    assert listed[0]["port"] == str(tmp_path / "dev" / "scale")
    assert {item["root"] for item in listed[1:]} == {str(tmp_path / "w1")}


@pytest.mark.parametrize(
    ("option", "value", "complaint"),
    [
        ("--speed", "0", "the speed is a number above 0"),
        ("--start", "yesterday", "not an RFC 3339 time"),
        ("--start", "2026-11-25T09:00:00", "no offset from UTC"),
        ("--scenario", "nowhere", "invalid choice"),
    ],
)
def test_a_bad_option_is_refused_with_a_sentence(
    option: str, value: str, complaint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = str(tmp_path / "clock")
    with pytest.raises(SystemExit) as stopped:
        main(["day", "--dir", str(tmp_path), "--clock", clock, option, value])
    assert stopped.value.code == 2
    assert complaint in capsys.readouterr().err
