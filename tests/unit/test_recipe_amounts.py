"""Vessels given by volume, and loads against the limits of wax maker and certificate.

Fluid ounces: NIST Handbook 44, Appendix C (US, 29.5735295625 mL); the UK one is 28.4130625 mL by
the Weights and Measures Act 1985 (a gallon of 4.54609 L has 160). The trap of 16 fluid ounces
that weigh no pound of wax is common practice, no source; the arithmetic stands beside it.
"""

from pathlib import Path

import pytest
from recipe_texts import HEATHER, complaint, read

BY_VOLUME = HEATHER.replace('fill = "180 g"', 'volume = "8 fl oz"').replace(
    'name = "soy blend"', 'name = "soy blend"\ndensity = "0.87 g/mL"'
)


@pytest.mark.parametrize(
    ("volume", "density", "fill_g"),
    [
        ("16 us fl oz", "0.9 g/mL", 425.86),  # 16 x 29.5735295625 x 0.9 = 425.8588, not 453.6
        ("16 fl oz", "900 kg/m3", 425.86),
        ("16 uk fl oz", "0.9 g/cm3", 409.15),  # 16 x 28.4130625 x 0.9 = 409.1481
        ("8 fl oz", "0.87 kg/L", 205.83),  # 8 x 29.5735295625 x 0.87 = 205.8318
        ("250 mL", "0.86 g / mL", 215.0),
        # 1 oz/fl oz = 28.349523125 / 29.5735295625 = 0.958611 g/mL, kept as 0.959
        ("1 L", "1 oz/fl oz", 959.0),
    ],
)
def test_a_vessel_s_volume_becomes_grams_by_the_density_of_the_wax(
    tmp_path: Path, volume: str, density: str, fill_g: float
) -> None:
    text = BY_VOLUME.replace("8 fl oz", volume).replace("0.87 g/mL", density)
    vessel = read(tmp_path, text).vessel
    assert round(vessel.fill_mg / 1000, 2) == fill_g
    assert vessel.volume_ul is not None


def test_a_vessel_by_volume_keeps_the_volume_it_was_given(tmp_path: Path) -> None:
    recipe = read(tmp_path, BY_VOLUME)
    assert recipe.vessel.volume_ul == 236_588  # 8 x 29.5735295625 = 236.588 mL
    assert recipe.wax.density_mg_per_ml == 870


VESSELS = [
    (
        BY_VOLUME.replace("[vessel]", '[vessel]\nfill = "180 g"'),
        "4: vessel.volume: write either fill, in grams, or volume with the density of the wax",
    ),
    (
        BY_VOLUME.replace('density = "0.87 g/mL"', ""),
        (
            "3: vessel.volume: a volume says nothing of grams without the density of the wax: write"
            ' density = "0.87 g/mL" in [wax]'
        ),
    ),
    (
        BY_VOLUME.replace("8 fl oz", "8 oz"),
        (
            '3: vessel.volume: "oz" measures a mass, not a volume: the fluid ounce is written'
            ' "fl oz" or "us fl oz" (29.57 mL) or "uk fl oz" (28.41 mL)'
        ),
    ),
    (
        HEATHER.replace("180 g", "8 fl oz"),
        (
            '3: vessel.fill: "fl oz" measures a volume, not a mass: weigh what fills the vessel and'
            ' write that, such as "220 g"; what a vessel holds by volume is written volume ='
        ),
    ),
    (
        BY_VOLUME.replace("0.87 g/mL", "87 g/mL"),
        "7: wax.density: 87 g/mL is the density of no wax: expected 0.7 to 1.1 g/mL",
    ),
    (
        BY_VOLUME.replace("0.87 g/mL", "0.87 g"),
        '7: wax.density: "g" measures a mass; expected a density, such as "0.87 g/mL"',
    ),
]


@pytest.mark.parametrize(("text", "sentence"), VESSELS)
def test_a_vessel_that_cannot_be_weighed_is_refused(
    tmp_path: Path, text: str, sentence: str
) -> None:
    assert complaint(tmp_path, text).startswith(sentence)


def loaded(load: str, of: str, limits: str) -> str:
    text = HEATHER.replace('load = "8 %"', f'load = "{load}"')
    text = text.replace('load_of = "wax"', f'load_of = "{of}"')
    wax, _, ifra = limits.partition("|")
    text = text.replace('name = "soy blend"', f'name = "soy blend"\n{wax}')
    return text.replace('name = "heather"', f'name = "heather"\n{ifra}')


TOO_MUCH = [
    # 9.5 / (100 - 9.5) = 10.497 % of the wax
    (
        loaded("9.5 %", "total", 'most_fragrance = "10 %"|'),
        "a load of 9.5 % of the total is 10.5 % of the wax, and the wax maker allows 10 %",
    ),
    (
        loaded("11 %", "wax", 'most_fragrance = "10 %"|'),
        "a load of 11 % of the wax is too much: the wax maker allows 10 %",
    ),
    # 12 / (100 + 12) = 10.714 % of the total
    (
        loaded("12 %", "wax", 'most_fragrance = "10 %"; most_fragrance_of = "total"|'),
        "a load of 12 % of the wax is 10.71 % of the total, and the wax maker allows 10 %",
    ),
    (
        loaded("12 %", "wax", '|ifra_limit = "10.7 %"'),
        (
            "a load of 12 % of the wax is 10.71 % of the total, and the fragrance's IFRA"
            " certificate allows 10.7 %"
        ),
    ),
]


@pytest.mark.parametrize(("text", "sentence"), TOO_MUCH)
def test_a_load_above_a_limit_is_refused_with_all_numbers(
    tmp_path: Path, text: str, sentence: str
) -> None:
    message = complaint(tmp_path, text.replace("; ", "\n"))
    assert message.split(": ", 2)[1] == "fragrance.load"
    assert message.endswith(sentence)


@pytest.mark.parametrize(
    ("load", "of", "limits"),
    [
        ("10 %", "wax", 'most_fragrance = "10 %"|'),
        # 10 / 110 = 9.0909 % of the total: a certificate of 9.1 % allows it
        ("10 %", "wax", '|ifra_limit = "9.1 %"'),
        ("9.09 %", "total", 'most_fragrance = "10 %"|'),
    ],
)
def test_a_load_up_to_a_limit_is_allowed(tmp_path: Path, load: str, of: str, limits: str) -> None:
    assert read(tmp_path, loaded(load, of, limits)).fragrance.load_ppm


WINDOWS = [
    (
        HEATHER.replace("63 degC", "57.5 degC"),
        (
            "14: pour.between: a window of 0.5 °C is narrower than what a thermometer can tell,"
            " ±0.5 °C: expected at least 1 °C"
        ),
    ),
    (
        HEATHER.replace("[stir]", 'add_between = ["45 degC", "50 degC"]\n[stir]'),
        (
            "15: pour.between: wax that is given its fragrance at 45 °C to 50 °C cannot cool into"
            " 57 °C to 63 °C: expected a window that begins at 50 °C or below"
        ),
    ),
    (
        HEATHER.replace("2 min", "2 h"),
        "12: stir.at_least: 7200 s is longer than wax stays liquid: expected at most 3600 s",
    ),
]


@pytest.mark.parametrize(("text", "sentence"), WINDOWS)
def test_a_recipe_that_cannot_be_followed_is_refused(
    tmp_path: Path, text: str, sentence: str
) -> None:
    assert complaint(tmp_path, text).startswith(sentence)


def test_a_window_may_be_as_narrow_as_a_thermometer_can_tell(tmp_path: Path) -> None:
    assert read(tmp_path, HEATHER.replace("63 degC", "58 degC")).pour_between is not None
