import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collector.errors import DocumentError
from collector.phases import Phase
from collector.recipe_file import read_recipe_document, read_recipe_file, recipe_files
from collector.recipes import (
    FragranceSpec,
    LoadOf,
    PitcherSpec,
    Recipe,
    VesselSpec,
    WaxSpec,
    Window,
)

CEDAR = """\
name = "Cedar smoke, 220 g amber"
[vessel]
fill = "220 g"
tolerance = "2 g"
[pitcher]
capacity = "1500 g"
residue = "6 g"
[wax]
name = "soy blend"
never_above = "93 degC"
[fragrance]
name = "cedar smoke"
load = "8 %"
load_of = "wax"                # wax | total
flash_point = "96 degC"
add_between = ["80 degC", "85 degC"]
[stir]
at_least = "120 s"
[pour]
between = ["57 degC", "63 degC"]
[set]
at_least = "24 h"
[cure]
at_least = "14 day"
"""
"""The plan's own example of a recipe.toml."""

LEAST = """\
name = "Reed bank"
[vessel]
fill = "8 oz"
tolerance = "0.1 oz"
[wax]
name = "coconut blend"
[fragrance]
name = "reed"
load = "7.5 %"
load_of = "total"
"""


def read(folder: Path, text: str) -> tuple[Recipe, dict[str, object]]:
    file = folder / "recipe.toml"
    file.write_text(text, "utf-8")
    return read_recipe_file(file)


def complaint(folder: Path, text: str) -> str:
    """Return the complaint without the folder in front of it."""
    with pytest.raises(DocumentError) as refused:
        read(folder, text)
    return refused.value.message.replace(f"{folder}/", "")


def test_the_example_of_the_plan_is_understood(tmp_path: Path) -> None:
    recipe, document = read(tmp_path, CEDAR)
    assert recipe == Recipe(
        name="Cedar smoke, 220 g amber",
        vessel=VesselSpec(fill_mg=220_000, tolerance_mg=2_000),
        wax=WaxSpec("soy blend", tolerance_ppm=20_000, never_above_mdegc=93_000),
        fragrance=FragranceSpec(
            name="cedar smoke",
            load_ppm=80_000,
            load_of=LoadOf.WAX,
            add_between=Window(80_000, 85_000),
            flash_point_mdegc=96_000,
            tolerance_ppm=25_000,
        ),
        pitcher=PitcherSpec(capacity_mg=1_500_000, residue_mg=6_000),
        stir_at_least_s=120,
        pour_between=Window(57_000, 63_000),
        pour=True,
        set_at_least_s=86_400,
        cure_at_least_s=1_209_600,
    )
    assert document == tomllib.loads(CEDAR)


def test_the_example_expects_the_phases_it_has_sections_for(tmp_path: Path) -> None:
    assert read(tmp_path, CEDAR)[0].phases == (
        Phase.DRAW_WAX,
        Phase.ADD_FRAGRANCE,
        Phase.STIR,
        Phase.POUR,
        Phase.SET,
        Phase.CURE,
    )


def test_json_and_toml_with_the_same_keys_are_the_same_recipe(tmp_path: Path) -> None:
    recipe, document = read(tmp_path, CEDAR)
    assert read_recipe_document("the recipe", document) == recipe


def test_the_least_recipe_has_wax_and_fragrance_only(tmp_path: Path) -> None:
    recipe, _ = read(tmp_path, LEAST)
    # NIST Handbook 44, Appendix C: an ounce is 28.349523125 g, 8 are 226.796185 g
    assert recipe == Recipe(
        name="Reed bank",
        vessel=VesselSpec(226_796, 2_835),
        wax=WaxSpec("coconut blend"),
        fragrance=FragranceSpec("reed", 75_000, LoadOf.TOTAL),
    )
    assert recipe.phases == (Phase.DRAW_WAX, Phase.ADD_FRAGRANCE)


def test_an_empty_section_expects_its_phase_without_a_bound(tmp_path: Path) -> None:
    text = LEAST + "[prepare]\n[stir]\n[pour]\n[set]\n[trim]\n[cure]\n"
    recipe, _ = read(tmp_path, text)
    assert recipe.phases == tuple(Phase)
    assert (recipe.stir_at_least_s, recipe.set_at_least_s, recipe.cure_at_least_s) == (0, 0, 0)
    assert recipe.pour_between is None


def test_tolerances_of_wax_and_fragrance_can_be_set(tmp_path: Path) -> None:
    text = LEAST.replace("[fragrance]", 'tolerance = "1 %"\n[fragrance]') + 'tolerance = "4 %"\n'
    recipe, _ = read(tmp_path, text)
    assert (recipe.wax.tolerance_ppm, recipe.fragrance.tolerance_ppm) == (10_000, 40_000)


def test_part_of_a_second_counts_as_a_whole_one(tmp_path: Path) -> None:
    recipe, _ = read(tmp_path, LEAST + '[stir]\nat_least = "1.51 min"\n')  # 90.6 s
    assert recipe.stir_at_least_s == 91


def test_fahrenheit_and_pounds_are_understood(tmp_path: Path) -> None:
    text = CEDAR.replace('["80 degC", "85 degC"]', '["176 °F", "185 F"]')
    recipe, _ = read(tmp_path, text.replace('"1500 g"', '"3 lb"'))
    assert recipe.fragrance.add_between == Window(80_000, 85_000)
    assert recipe.pitcher.capacity_mg == 1_360_777  # 3 x 453.59237 g


def test_a_pitcher_may_hold_exactly_one_vessel_and_its_residue(tmp_path: Path) -> None:
    recipe, _ = read(tmp_path, CEDAR.replace('"1500 g"', '"226 g"'))
    assert recipe.pitcher.capacity_mg == 226_000


def test_a_window_may_end_at_the_wax_makers_limit(tmp_path: Path) -> None:
    recipe, _ = read(tmp_path, CEDAR.replace('"85 degC"]', '"93 degC"]'))
    assert recipe.fragrance.add_between == Window(80_000, 93_000)


REFUSED = [
    (
        "fill = ",
        "fil = ",
        '3: vessel.fil: unknown key; did you mean "fill", which is missing?',
    ),
    ('fill = "220 g"', "", '2: vessel.fill: "fill" is missing in [vessel]'),
    ('tolerance = "2 g"', "", '2: vessel.tolerance: "tolerance" is missing in [vessel]'),
    ('name = "soy blend"', "", '8: wax.name: "name" is missing in [wax]'),
    ('name = "cedar smoke"', "", '11: fragrance.name: "name" is missing in [fragrance]'),
    ('load = "8 %"', "", '11: fragrance.load: "load" is missing in [fragrance]'),
    ('load_of = "wax"', "", '11: fragrance.load_of: "load_of" is missing in [fragrance]'),
    ('name = "Cedar smoke, 220 g amber"', "", '1: name: "name" is missing in the document'),
    (
        '"220 g"',
        "220",
        '3: vessel.fill: expected text with a unit, such as "220 g", not the number 220',
    ),
    ('"220 g"', '"0 g"', '3: vessel.fill: must be more than zero, not "0 g"'),
    ('"220 g"', '"-220 g"', '3: vessel.fill: "-220 g" is negative; expected a mass'),
    ('"220 g"', '"8 fl oz"', '3: vessel.fill: "fl oz" measures a volume, not a mass: weigh'),
    ('"220 g"', '"80 degC"', '3: vessel.fill: "degC" measures a temperature; expected a mass'),
    (
        '"2 g"',
        '"220 g"',
        (
            "4: vessel.tolerance: a tolerance of 220 g allows an empty vessel: it must be less than"
            " the fill, 220 g"
        ),
    ),
    ('"2 g"', '"0 g"', '4: vessel.tolerance: must be more than zero, not "0 g"'),
    (
        '"1500 g"',
        '"225.9 g"',
        (
            "6: pitcher.capacity: a pitcher of 225.9 g does not hold one vessel and its residue,"
            " 220 g + 6 g = 226 g"
        ),
    ),
    (
        '"93 degC"',
        '"93 %"',
        '10: wax.never_above: "%" measures a fraction; expected a temperature, such as "80 degC"',
    ),
    ('"8 %"', '"0 %"', '13: fragrance.load: must be more than zero, not "0 %"'),
    (
        '"8 %"',
        '"31 %"',
        "13: fragrance.load: a load of 31 % is more than a wax holds: expected at most 30 %",
    ),
    ('"8 %"', '"8 g"', '13: fragrance.load: "g" measures a mass; expected a fraction, such as'),
    (
        'load_of = "wax"',
        'load_of = "mix"',
        '14: fragrance.load_of: expected one of "wax", "total", not "mix"',
    ),
    (
        '["80 degC", "85 degC"]',
        '["85 degC", "80 degC"]',
        '16: fragrance.add_between: the window is inverted: "85 degC" is not below "80 degC"',
    ),
    (
        '["57 degC", "63 degC"]',
        '["57 degC", "57 degC"]',
        '20: pour.between: the window is inverted: "57 degC" is not below "57 degC"',
    ),
    (
        '["57 degC", "63 degC"]',
        '[\n"57 degC",\n"63 g"]',
        '22: pour.between.1: "g" measures a mass; expected a temperature, such as "80 degC"',
    ),
    (
        '["57 degC", "63 degC"]',
        '"60 degC"',
        '20: pour.between: expected two temperatures, such as ["80 degC", "85 degC"]',
    ),
    (
        '"85 degC"]',
        '"93.5 degC"]',
        (
            "16: fragrance.add_between: the window reaches 93.5 °C, and the wax may never be above"
            " 93 °C"
        ),
    ),
    (
        '"63 degC"]',
        '"99 degC"]',
        "20: pour.between: the window reaches 99 °C, and the wax may never be above 93 °C",
    ),
    (
        '"96 degC"',
        '"82 degC"',
        (
            "16: fragrance.add_between: the window reaches 85 °C: it must end below the fragrance's"
            " flash point, 82 °C"
        ),
    ),
    ('"96 degC"', '"85 degC"', "16: fragrance.add_between: the window reaches 85 °C: it must end"),
    ('"120 s"', '"120 g"', '18: stir.at_least: "g" measures a mass; expected a duration'),
    ('"120 s"', '"2 m"', '18: stir.at_least: "m" means meter: a minute is written "min"'),
    (
        "[stir]",
        "[stirr]",
        (
            "17: stirr: unknown key; the keys allowed here are: name, vessel, wax, fragrance,"
            " pitcher, prepare, stir, pour, set, trim, cure, phase, alarm, limit;"
            ' did you mean "stir"?'
        ),
    ),
    ("[set]", "[trim]", "22: trim.at_least: unknown key; the keys allowed here are: none"),
    ("[wax]", 'tolerance = "1 g"\n[wax]', "8: pitcher.tolerance: unknown key; the keys allowed"),
    (
        "[wax]",
        '[wax]\ntolerance = "100 %"',
        "9: wax.tolerance: a tolerance of 100 % allows nothing at all to be weighed",
    ),
    ("[wax]", "[wax", "8: not TOML: "),
    (
        "[stir]\nat_least",
        'stir = "2 min"\n[x]\nat_least',
        "18: x: unknown key; the keys",
    ),
]


@pytest.mark.parametrize(("before", "after", "sentence"), REFUSED)
def test_a_recipe_that_makes_no_sense_is_refused_with_its_line(
    tmp_path: Path, before: str, after: str, sentence: str
) -> None:
    assert before in CEDAR
    message = complaint(tmp_path, CEDAR.replace(before, after, 1))
    assert message.startswith(f"recipe.toml:{sentence}")


def test_a_json_recipe_is_refused_with_its_field() -> None:
    tree = tomllib.loads(CEDAR)
    tree["stir"] = {"at_least": 120}
    with pytest.raises(DocumentError) as refused:
        read_recipe_document("the recipe", tree)
    assert refused.value.line is None
    assert refused.value.message == (
        'the recipe: stir.at_least: expected text with a unit, such as "2 min", not the number 120'
    )


@pytest.mark.parametrize("wrong", [None, True, 5, "soy", [], [{}]])
def test_a_json_section_of_another_kind_is_refused(wrong: object) -> None:
    tree = {**tomllib.loads(CEDAR), "wax": wrong}
    with pytest.raises(DocumentError, match=r"^the recipe: wax: expected a section with keys"):
        read_recipe_document("the recipe", tree)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)


@settings(deadline=None)  # the first to come pays for pint's registry
@given(st.sampled_from(sorted(tomllib.loads(CEDAR))), st.sampled_from(["", "load", "x"]), JSON)
def test_any_json_is_a_recipe_or_refused_with_a_field(key: str, within: str, wrong: object) -> None:
    tree = tomllib.loads(CEDAR)
    tree[key] = {**tree[key], within: wrong} if within and key != "name" else wrong
    try:
        assert read_recipe_document("the recipe", tree).vessel.fill_mg > 0
    except DocumentError as refused:
        assert refused.field[0] == key  # noqa: PT017 # both outcomes are right, a third is not


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match=r"none\.toml: there is no such file"):
        read_recipe_file(tmp_path / "none.toml")


def test_a_folder_gives_its_recipes_in_the_order_of_its_files(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text(LEAST, "utf-8")
    (tmp_path / "a.toml").write_text(CEDAR, "utf-8")
    (tmp_path / "notes.txt").write_text("no recipe", "utf-8")
    names = [file.recipe.name for file in recipe_files(tmp_path)]
    assert names == ["Cedar smoke, 220 g amber", "Reed bank"]


def test_two_files_of_a_folder_may_not_share_a_name(tmp_path: Path) -> None:
    for name in ("a.toml", "b.toml"):
        (tmp_path / name).write_text(LEAST, "utf-8")
    files = recipe_files(tmp_path)
    assert next(files).path.name == "a.toml"
    with pytest.raises(DocumentError, match=r"b\.toml: name: the recipe in a\.toml has this name"):
        next(files)
