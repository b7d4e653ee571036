"""Every complaint about a draft at once, and nothing that rests on what stands in for a field."""

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collector.errors import DocumentError
from collector.recipe_draft import MOST_COMPLAINTS, Draft, read_draft
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe

FERN: dict[str, Any] = {
    "name": "Fern, 200 g",
    "vessel": {"fill": "200 g", "tolerance": "2 g"},
    "pitcher": {"capacity": "1500 g", "residue": "12 g"},
    "wax": {"name": "soy", "never_above": "93 degC", "most_fragrance": "10 %"},
    "fragrance": {
        "name": "fern",
        "load": "8 %",
        "load_of": "wax",
        "flash_point": "96 degC",
        "add_between": ["78 degC", "85 degC"],
    },
    "stir": {"at_least": "120 s"},
    "pour": {"between": ["57 degC", "63 degC"]},
}


def fern(**changes: object) -> dict[str, Any]:
    """Return the recipe with other values, by "section__key"; None leaves the key out."""
    document = deepcopy(FERN)
    for name, value in changes.items():
        section, _, key = name.partition("__")
        place, last = (document[section], key) if key else (document, section)
        if value is None:
            place.pop(last)
        else:
            place[last] = value
    return document


def said(draft: Draft) -> dict[str, str]:
    return {".".join(map(str, each.path)): each.message for each in draft.complaints}


def test_a_whole_recipe_has_nothing_wrong_and_its_sheet() -> None:
    draft = read_draft(FERN, 6)
    assert draft.complaints == ()
    assert draft.recipe == read_recipe_document("recipe", FERN)
    assert draft.sheet is not None
    # 6 x 200 g + 12 g = 1212 g of mix; W = M / 1.08 = 1122.222 g, worked by hand
    assert draft.sheet.totals.mix_mg == 1_212_000
    assert draft.sheet.totals.wax_mg == 1_122_222


def test_an_empty_draft_names_the_sections_that_are_missing() -> None:
    draft = read_draft({}, 6)
    assert [each.path for each in draft.complaints] == [
        ("name",),
        ("vessel",),
        ("wax",),
        ("fragrance",),
    ]
    assert all(each.missing for each in draft.complaints)
    assert (draft.recipe, draft.sheet) == (None, None)


def test_an_empty_form_names_each_field_that_is_missing() -> None:
    draft = read_draft({"vessel": {}, "wax": {}, "fragrance": {}}, 6)
    assert set(said(draft)) == {
        *("name", "vessel.fill", "vessel.tolerance", "wax.name"),
        *("fragrance.name", "fragrance.load", "fragrance.load_of"),
    }


def test_several_wrong_fields_are_all_said_at_once() -> None:
    draft = read_draft(
        fern(
            vessel__tolerance="2",
            wax__never_above="93",
            fragrance__load="8 g",
            stir={"at_least": "2 g"},
            pour={"between": ["63 degC", "57 degC"]},
            colour="green",
        ),
        6,
    )
    assert set(said(draft)) == {
        *("vessel.tolerance", "wax.never_above", "fragrance.load"),
        *("stir.at_least", "pour.between", "colour"),
    }
    assert not any(each.missing for each in draft.complaints)
    assert "inverted" in said(draft)["pour.between"]


@pytest.mark.parametrize(
    ("changes", "only"),
    [
        ({"vessel__fill": None}, "vessel.fill"),
        ({"vessel__fill": "200"}, "vessel.fill"),
        ({"wax__name": None}, "wax.name"),
        ({"fragrance__load": None}, "fragrance.load"),
        ({"fragrance__load_of": None}, "fragrance.load_of"),
        ({"vessel__tolerance": "3 m"}, "vessel.tolerance"),
        ({"pour__between": ["57 degC", "63"]}, "pour.between.1"),
        ({"stir": 5}, "stir"),
        ({"vessel": {"volume": "8 fl oz", "tolerance": "2 g"}}, "vessel.volume"),
    ],
)
def test_nothing_is_said_that_follows_from_a_field_that_is_wrong_itself(
    changes: dict[str, object], only: str
) -> None:
    assert list(said(read_draft(fern(**changes), 6))) == [only]


def test_a_wrong_density_is_the_one_complaint_and_leaves_no_sheet() -> None:
    vessel = {"volume": "250 mL", "tolerance": "2 g"}
    draft = read_draft(fern(vessel=vessel, wax__density="9 g/mL"), 6)
    assert list(said(draft)) == ["wax.density"]
    assert draft.sheet is None


def test_a_load_above_its_limit_is_said_and_the_sheet_is_shown_with_the_limit() -> None:
    draft = read_draft(fern(fragrance__load="12 %"), 6)
    assert list(said(draft)) == ["fragrance.load"]
    assert draft.recipe is None
    assert draft.weighed is not None
    assert draft.weighed.wax.most_ppm == 100_000
    assert draft.sheet is not None
    # W = 1212 / 1.12 = 1082.143 g, worked by hand
    assert draft.sheet.totals.wax_mg == 1_082_143


def test_a_temperature_that_is_wrong_changes_no_gram() -> None:
    draft = read_draft(fern(wax__never_above="hot"), 6)
    assert draft.sheet == read_draft(FERN, 6).sheet


@pytest.mark.parametrize("changes", [{"pitcher": {"capacity": "100 g"}}, {"pitcher": 4}])
def test_a_pitcher_that_is_wrong_leaves_no_sheet(changes: dict[str, object]) -> None:
    assert read_draft(fern(**changes), 6).sheet is None


def test_what_is_wrong_in_a_list_is_said_at_its_entry() -> None:
    phases = [{"name": "rest"}, {"name": "x", "after": "nap"}, {"after": "stir"}]
    limits = [{"name": "cold", "of": "room"}, {"name": "warm", "of": "roof", "above": "30 degC"}]
    draft = read_draft(fern(phase=phases, limit=limits, alarm={"no-rule": {}}), 6)
    assert set(said(draft)) == {
        *("phase.0.after", "phase.2.name"),
        *("limit.0", "limit.1.of", "alarm.no-rule"),
    }


def test_what_lists_a_name_that_is_wrong_is_said_once_the_name_is_right() -> None:
    """The complaint about "nap" would list the phases, a stand-in among them."""
    phases = [{"after": "stir"}, {"name": "x", "after": "nap"}]
    assert set(said(read_draft(fern(phase=phases), 6))) == {"phase.0.name"}
    phases[0]["name"] = "rest"
    assert set(said(read_draft(fern(phase=phases), 6))) == {"phase.1.after"}


def test_a_hostile_draft_is_not_read_to_its_end() -> None:
    draft = read_draft({**FERN, **{f"key {n}": n for n in range(10_000)}}, 6)
    assert len(draft.complaints) == MOST_COMPLAINTS
    assert (draft.recipe, draft.sheet) == (None, None)


PATHS = [
    (section, key)
    for section, value in FERN.items()
    for key in (value if isinstance(value, dict) else [""])
]
WRONG: st.SearchStrategy[object] = st.sampled_from(
    [None, "", "x", "0 g", "-1 degC", "200 degC", "50 %", 7, [], {}, True]
)


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(st.sampled_from(PATHS), WRONG, max_size=6), st.integers(1, 1000))
def test_a_draft_without_complaints_is_a_recipe_and_one_with_them_is_none(
    changes: dict[tuple[str, str], object], vessels: int
) -> None:
    document = deepcopy(FERN)
    for (section, key), value in changes.items():
        if key:
            document[section][key] = value
        else:
            document[section] = value
    draft = read_draft(document, vessels)
    recipe, first = read_plainly(document)
    assert draft.recipe == recipe
    said = [(complaint.path, complaint.message) for complaint in draft.complaints]
    assert said == [] if first is None else first in said


def read_plainly(
    document: dict[str, object],
) -> tuple[Recipe | None, tuple[tuple[str | int, ...], str] | None]:
    """Return the recipe, or else the first complaint about it."""
    try:
        return read_recipe_document("recipe", document), None
    except DocumentError as error:
        return None, (error.field, error.problem)
