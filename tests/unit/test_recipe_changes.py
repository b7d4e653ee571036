"""What changed between two versions of a recipe, in words."""

from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_recipe_draft import FERN, fern

from collector.recipe_changes import changes, lasting
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe


def recipe(**values: object) -> Recipe:
    return read_recipe_document("recipe", fern(**values))


PLAIN = recipe()


def test_the_same_recipe_written_otherwise_has_not_changed() -> None:
    assert changes(PLAIN, recipe(vessel__fill="0.2 kg", stir={"at_least": "2 min"})) == ()


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (
            {"pour": {"between": ["55 degC", "62 degC"]}},
            "pour between: 55 to 62 °C, was 57 to 63 °C",
        ),
        ({"vessel__fill": "200.05 g"}, "vessel fill: 200.05 g, was 200 g"),
        (
            {"fragrance__load": "7.5 %"},
            "fragrance load: 7.5 % of the wax, was 8 % of the wax",
        ),
        (
            {"fragrance__load_of": "total"},
            "fragrance load: 8 % of the total, was 8 % of the wax",
        ),
        ({"stir": {"at_least": "90 s"}}, "stir at least: 90 s, was 2 min"),
        ({"stir": None}, "stir at least: no longer set, was 2 min"),
        ({"cure": {"at_least": "14 day"}}, "cure at least: 14 day, was not set"),
        ({"trim": {}}, "trim: a step of this recipe, was not set"),
        ({"wax__never_above": None}, "wax never above: no longer set, was 93 °C"),
        ({"alarm": {"fill-grams": {"latched": True}}}, "alarm fill-grams: latched, was not set"),
        (
            {"phase": [{"name": "rest", "after": "stir", "at_least": "5 min"}]},
            "phase rest: after stir, at least 5 min, was not set",
        ),
        (
            {"limit": [{"name": "cold", "of": "room", "below": "18 degC", "on_delay": "5 s"}]},
            "limit cold: of the room, below 18 °C, on delay 5 s, was not set",
        ),
    ],
)
def test_one_change_is_one_line(values: dict[str, object], said: str) -> None:
    assert changes(PLAIN, recipe(**values)) == (said,)


def test_phases_and_limits_in_another_order_are_a_change() -> None:
    rest, nap = ({"name": name, "after": "stir"} for name in ("rest", "nap"))
    before, after = recipe(phase=[rest, nap]), recipe(phase=[nap, rest])
    (line,) = changes(before, after)
    assert line.startswith("order of the phases: ")
    assert "stir, nap, rest, pour" in line.partition(", was ")[0]
    limits = [{"name": name, "of": "room", "above": "30 degC"} for name in ("a", "b")]
    (line,) = changes(recipe(limit=limits), recipe(limit=limits[::-1]))
    assert line == "order of the limits: b, a, was a, b"


TEXTS: dict[str, list[Any]] = {
    "vessel__fill": ["200 g", "201 g"],
    "vessel__tolerance": ["2 g", "3 g"],
    "wax__name": ["soy", "rapeseed"],
    "wax__tolerance": ["2 %", "3 %"],
    "wax__most_fragrance": ["10 %", "11 %"],
    "fragrance__load": ["8 %", "7 %"],
    "fragrance__tolerance": ["2.5 %", "2 %"],
    "fragrance__ifra_limit": ["12 %", "13 %"],
    "fragrance__flash_point": ["96 degC", "95 degC"],
    "set": [{"at_least": "24 h"}, {}],
    "trim": [{}],
    "prepare": [{}],
}
VERSIONS = st.fixed_dictionaries({}, optional={k: st.sampled_from(v) for k, v in TEXTS.items()})


@settings(deadline=None)  # the first quantity of a process waits for its units
@given(VERSIONS, VERSIONS)
def test_there_is_a_line_exactly_where_two_recipes_differ(
    one: dict[str, object], other: dict[str, object]
) -> None:
    before, after = recipe(**one), recipe(**other)
    assert bool(changes(before, after)) == (before != after)
    assert len(changes(before, after)) == len(changes(after, before))


def test_every_field_of_a_recipe_is_looked_at() -> None:
    """A field that a later version adds to recipes must not be forgotten here."""
    assert set(msgspec.structs.asdict(PLAIN)) == {
        *("name", "vessel", "wax", "fragrance", "pitcher", "prepare", "stir_at_least_s"),
        *("pour_between", "pour", "set_at_least_s", "trim", "cure_at_least_s"),
        *("own_phases", "own_limits", "manners"),
    }
    assert FERN["name"] in PLAIN.name


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(60, "60 s"), (90, "90 s"), (120, "2 min"), (86_400, "24 h"), (1_209_600, "14 day")],
)
def test_a_duration_is_written_exactly(seconds: int, said: str) -> None:
    assert lasting(seconds) == said
