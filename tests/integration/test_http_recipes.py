"""Recipes over HTTP: their versions, two people at once, drafts, and the recipe folder."""

import asyncio
from collections.abc import AsyncIterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from workshop_at_hand import RECIPE, AtHand, HandClock, at_hand, config, problem

from collector.lot_events import RecipeKept
from collector.store.verify import verify

NAME = RECIPE["name"]
TOML = """\
name = "Sandpiper, 90 g"
[vessel]
fill = "90 g"
tolerance = "2 g"
[wax]
name = "soy"
[fragrance]
name = "sand"
load = "8 %"
load_of = "wax"
"""


def heron(**values: object) -> dict[str, Any]:
    """Return the recipe with other values, by "section__key"."""
    document = deepcopy(RECIPE)
    for name, value in values.items():
        section, _, key = name.partition("__")
        (document[section] if key else document)[key or section] = value
    return document


@pytest_asyncio.fixture
async def hand(tmp_path: Path) -> AsyncIterator[AtHand]:
    async with at_hand(config(tmp_path)) as hand:
        yield hand


async def keep(hand: AtHand, document: dict[str, Any], replaces: int | None = None) -> int:
    query = "" if replaces is None else f"?replaces={replaces}"
    answer = await hand.http.post(f"/api/recipes{query}", json=document)
    assert answer.status_code == 201, answer.text
    return int(answer.json()["version"])


# ------------------------------------------------------------------ versions


@pytest.mark.asyncio
async def test_each_version_says_what_it_changed(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    hand.clock.pass_s(60)
    await keep(hand, heron(pour__between=["55 degC", "62 degC"]))
    newer, older = await hand.got(f"/api/recipes/{NAME}/versions")
    assert (older["number"], older["changes"], older["recipe"]) == (1, [], RECIPE)
    assert newer["number"] == 2
    assert newer["changes"] == ["pour between: 55 to 62 °C, was 57 to 63 °C"]
    assert newer["at"] > older["at"]
    shown = await hand.got(f"/api/recipes/{NAME}")
    assert (shown["version"], shown["recipe"]) == (2, newer["recipe"])


@pytest.mark.asyncio
async def test_an_older_version_is_taken_again_by_keeping_it_again(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    await keep(hand, heron(vessel__fill="130 g"))
    assert await keep(hand, RECIPE, replaces=2) == 3
    newest, *_ = await hand.got(f"/api/recipes/{NAME}/versions")
    assert newest["changes"] == ["vessel fill: 120 g, was 130 g"]


@pytest.mark.asyncio
async def test_what_stands_already_is_not_kept_again(hand: AtHand) -> None:
    assert [await keep(hand, RECIPE) for _ in range(3)] == [1, 1, 1]
    assert await keep(hand, RECIPE, replaces=0) == 1
    assert len(hand.workshop.history.events_of([RecipeKept])) == 1


@pytest.mark.asyncio
async def test_what_somebody_else_kept_meanwhile_is_not_overwritten(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    theirs, ours = heron(vessel__fill="130 g"), heron(vessel__fill="125 g")
    await keep(hand, theirs, replaces=1)
    answer = await hand.http.post("/api/recipes?replaces=1", json=ours)
    refused = problem(answer, 409)
    assert (refused["version"], refused["recipe"]) == (2, theirs)
    assert "Version 2" in refused["detail"]
    assert "version 1" in refused["detail"]
    assert await keep(hand, ours, replaces=2) == 3


@pytest.mark.asyncio
async def test_of_two_at_the_same_moment_one_is_kept(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    drafts = [heron(vessel__fill=f"{grams} g") for grams in range(121, 129)]
    posts = [hand.http.post("/api/recipes?replaces=1", json=draft) for draft in drafts]
    answers = await asyncio.gather(*posts)
    assert sorted(answer.status_code for answer in answers) == [201] + 7 * [409]
    assert (await hand.got(f"/api/recipes/{NAME}"))["version"] == 2


@pytest.mark.asyncio
async def test_a_new_recipe_takes_no_name_that_is_there(hand: AtHand) -> None:
    assert await keep(hand, RECIPE, replaces=0) == 1
    answer = await hand.http.post("/api/recipes?replaces=0", json=heron(vessel__fill="130 g"))
    assert "already" in problem(answer, 409)["detail"]
    answer = await hand.http.post("/api/recipes?replaces=3", json=heron(name="Never kept"))
    assert problem(answer, 409)["version"] == 0


@pytest.mark.asyncio
@pytest.mark.parametrize("name", ["new", "preview", "a/b, 12 % & more?", "Æon #1"])
async def test_any_name_has_its_address(hand: AtHand, name: str) -> None:
    await keep(hand, heron(name=name))
    escaped = name.replace("%", "%25").replace("/", "%2F").replace("?", "%3F").replace("#", "%23")
    assert (await hand.got(f"/api/recipes/{escaped}"))["name"] == name
    assert len(await hand.got(f"/api/recipes/{escaped}/versions")) == 1


@pytest.mark.asyncio
async def test_an_unknown_recipe_is_said_to_be_unknown(hand: AtHand) -> None:
    for path in ("/api/recipes/Nobody", "/api/recipes/Nobody/versions"):
        assert "Nobody" in problem(await hand.http.get(path), 404)["detail"]
    problem(await hand.http.post("/api/recipes/Nobody/retire"), 404)


@pytest.mark.asyncio
async def test_the_list_says_how_many_lots_a_recipe_had_and_when_the_last(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    (entry,) = await hand.got("/api/recipes")
    assert (entry["lots"], entry["last_made"], entry["version"]) == (0, None, 1)
    assert (entry["fill"], entry["load"], entry["load_of"]) == (120.0, 8.0, "wax")
    assert (entry["wax"], entry["fragrance"]) == ("rapeseed blend", "reed bed")
    lot = await hand.open_lot()
    (entry,) = await hand.got("/api/recipes")
    opened = (await hand.got(f"/api/lots/{lot}"))["opened_at"]
    assert (entry["lots"], entry["last_made"]) == (1, opened)


# ------------------------------------------------------------------ put away


@pytest.mark.asyncio
async def test_a_recipe_that_is_put_away_is_back_once_it_is_kept_again(tmp_path: Path) -> None:
    clock = HandClock()
    async with at_hand(config(tmp_path), clock) as hand:
        await keep(hand, RECIPE)
        for _ in range(2):
            answer = await hand.http.post(f"/api/recipes/{NAME}/retire")
            assert answer.json() == {"name": NAME, "retired": True}
    async with at_hand(config(tmp_path), clock) as hand:
        (entry,) = await hand.got("/api/recipes")
        assert entry["retired"] is True
        assert await keep(hand, RECIPE) == 2
        (entry,) = await hand.got("/api/recipes")
        assert entry["retired"] is False
    assert verify(tmp_path) == []


# ------------------------------------------------------------------ drafts


@pytest.mark.asyncio
async def test_a_draft_is_answered_with_all_that_is_wrong_and_its_sheet(hand: AtHand) -> None:
    draft = heron(wax__never_above="92", stir={"at_least": "30 g"})
    answer = await hand.http.post("/api/recipes/preview", json={"document": draft, "vessels": 6})
    shown = answer.json()
    assert [each["path"] for each in shown["problems"]] == [
        ["wax", "never_above"],
        ["stir", "at_least"],
    ]
    # 6 x 120 g + 12 g = 732 g of mix; W = 732 / 1.08 = 677.778 g, worked by hand
    assert (shown["sheet"]["mix"], shown["sheet"]["wax"]) == (732.0, 677.778)
    assert await hand.got("/api/recipes") == []


@pytest.mark.asyncio
async def test_a_draft_is_held_against_what_it_will_replace(hand: AtHand) -> None:
    await keep(hand, RECIPE)
    body = {"document": heron(vessel__fill="125 g"), "vessels": 6, "against": NAME}
    shown = (await hand.http.post("/api/recipes/preview", json=body)).json()
    assert shown["changes"] == ["vessel fill: 125 g, was 120 g"]
    assert any("flash point" in caution for caution in shown["cautions"])
    body["against"] = "Nobody"
    assert (await hand.http.post("/api/recipes/preview", json=body)).json()["changes"] is None


@pytest.mark.asyncio
@pytest.mark.parametrize("document", [{}, {"vessel": 3}, {"phase": [[]]}, {"x" * 300: None}])
async def test_an_unfinished_draft_is_never_refused(hand: AtHand, document: dict[str, Any]) -> None:
    body = {"document": document, "vessels": 1}
    answer = await hand.http.post("/api/recipes/preview", json=body)
    assert answer.status_code == 200, answer.text
    assert answer.json()["problems"]
    assert answer.json()["sheet"] is None


# ------------------------------------------------------------------ the recipe folder


@pytest.mark.asyncio
async def test_what_is_kept_on_the_page_stands_until_the_file_changes(tmp_path: Path) -> None:
    recipes = tmp_path / "recipes"
    recipes.mkdir()
    file = recipes / "sandpiper.toml"
    file.write_text(TOML)
    settings, clock = config(tmp_path / "data", recipes=recipes), HandClock()
    name = "Sandpiper, 90 g"

    async def fill(change: str | None = None) -> str:
        """Start the workshop, perhaps change the recipe on the page, and say what stands."""
        async with at_hand(settings, clock) as hand:
            shown = await hand.got(f"/api/recipes/{name}")
            assert shown["file"] == "recipes/sandpiper.toml"
            stood = str(shown["recipe"]["vessel"]["fill"])
            if change is not None:
                shown["recipe"]["vessel"]["fill"] = change
                await keep(hand, shown["recipe"], replaces=shown["version"])
            return stood

    assert await fill(change="95 g") == "90 g"
    assert await fill() == "95 g"
    file.write_text(TOML.replace('fill = "90 g"', 'fill = "85 g"'))
    assert await fill() == "85 g"
    assert await fill(change="80 g") == "85 g"
    assert await fill() == "80 g"
    async with at_hand(settings, clock) as hand:
        versions = await hand.got(f"/api/recipes/{name}/versions")
    assert [each["file"] for each in versions] == [None, "sandpiper.toml", None, "sandpiper.toml"]
