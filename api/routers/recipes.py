"""Recipes over HTTP: kept, shown with their versions, and previewed while they are written."""

import asyncio
from functools import partial
from typing import Annotated, Any

import msgspec
from fastapi import APIRouter, Body, Query

from api import recipe_reading, recipe_shapes
from api.dependencies import Running
from collector.errors import DocumentError
from collector.lot_events import RecipeKept, RecipeRetired
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe

router = APIRouter(prefix="/api/recipes", tags=["recipes"])

MOST_VERSIONS = 1_000_000_000
"""A number above that is no version of anything."""

Replaces = Annotated[int | None, Query(ge=0, le=MOST_VERSIONS)]


@router.post("", status_code=201)
async def keep_recipe(
    workshop: Running, document: Annotated[dict[str, Any], Body()], replaces: Replaces = None
) -> recipe_shapes.RecipeVersion:
    """Keep a recipe: the same keys as in a recipe file, quantities as text with their unit.

    With `replaces`, the number of the version that it was made out of (0 for a new recipe), 409
    and what stands now where that is no longer the latest. What stands already word for word is
    not kept again.
    """
    raw = _encoded(document)
    recipe = read_recipe_document("recipe", document)
    async with workshop.keeping:
        book = await asyncio.to_thread(recipe_reading.read_book, workshop.history)
        entry = book.get(recipe.name)
        number = 0 if entry is None else entry.latest.number
        if entry is not None and recipe_reading.stands(entry, document):
            return recipe_shapes.RecipeVersion(name=recipe.name, version=number)
        if replaces is not None:
            recipe_reading.refuse_overtaken(recipe.name, entry, replaces)
        await workshop.pipeline.give(None, partial(_kept, recipe, raw))
    return recipe_shapes.RecipeVersion(name=recipe.name, version=number + 1)


@router.get("")
async def list_recipes(workshop: Running) -> list[recipe_shapes.RecipeEntry]:
    """List all recipes by name."""
    return await asyncio.to_thread(recipe_reading.entries, workshop.history)


@router.post("/preview")
async def preview_recipe(
    workshop: Running, wanted: recipe_shapes.PreviewRequest
) -> recipe_shapes.PreviewShown:
    """Say what is wrong with a draft, all of it at once, and what its batch sheet would be."""
    _encoded(wanted.document)
    return await asyncio.to_thread(recipe_reading.preview, workshop.history, wanted)


@router.get("/{recipe:path}/versions")
async def list_versions(workshop: Running, recipe: str) -> list[recipe_shapes.VersionShown]:
    """List every version of a recipe, the newest first, with what each changed."""
    entry = await asyncio.to_thread(recipe_reading.read_entry, workshop.history, recipe)
    return recipe_reading.versions(entry)


@router.post("/{recipe:path}/retire")
async def retire_recipe(workshop: Running, recipe: str) -> recipe_shapes.RecipeRetiredShown:
    """Put a recipe away: it is offered no longer, and is back once it is kept again."""
    async with workshop.keeping:
        entry = await asyncio.to_thread(recipe_reading.read_entry, workshop.history, recipe)
        if entry.retired_us is None:
            await workshop.pipeline.give(None, partial(_retired, recipe))
    return recipe_shapes.RecipeRetiredShown(name=recipe, retired=True)


@router.get("/{recipe:path}")
async def show_recipe(workshop: Running, recipe: str) -> recipe_shapes.RecipeShown:
    """Show a recipe as it stands, and the number of its version."""
    entry = await asyncio.to_thread(recipe_reading.read_entry, workshop.history, recipe)
    return recipe_reading.shown(entry, workshop.recipe_paths)


def _encoded(document: dict[str, Any]) -> msgspec.Raw:
    """Return the document's JSON. Raises DocumentError for text that is none in Unicode."""
    try:
        return msgspec.Raw(msgspec.json.encode(document))
    except UnicodeEncodeError as error:
        raise DocumentError("recipe", [], f"a text is not Unicode ({error.reason})") from error


def _kept(recipe: Recipe, document: msgspec.Raw, at_us: int) -> RecipeKept:
    return RecipeKept(at_us=at_us, bench=None, lot=None, recipe=recipe, document=document)


def _retired(recipe: str, at_us: int) -> RecipeRetired:
    return RecipeRetired(at_us=at_us, bench=None, lot=None, recipe=recipe)
