"""Recipes over HTTP."""

import asyncio
from functools import partial
from typing import Annotated, Any

import msgspec
from fastapi import APIRouter, Body

from api import recipe_shapes
from api.dependencies import Running
from api.presenting import document_of
from collector.errors import DocumentError
from collector.lot_events import RecipeKept
from collector.recipe_file import read_recipe_document
from collector.recipes import Recipe

router = APIRouter(prefix="/api/recipes", tags=["recipes"])


@router.post("", status_code=201)
async def keep_recipe(
    workshop: Running, document: Annotated[dict[str, Any], Body()]
) -> recipe_shapes.RecipeName:
    """Keep a recipe: the same keys as in a recipe file, quantities as text with their unit."""
    raw = _encoded(document)
    recipe = read_recipe_document("recipe", document)
    await workshop.pipeline.give(None, partial(_kept, recipe, raw))
    return recipe_shapes.RecipeName(name=recipe.name)


@router.get("")
async def list_recipes(workshop: Running) -> list[recipe_shapes.RecipeEntry]:
    """List all recipes by name."""
    stored = await asyncio.to_thread(workshop.history.recipes)
    return [
        recipe_shapes.RecipeEntry(
            name=entry.name,
            phases=list(entry.recipe.phases),
            recipe=document_of(entry.document),
        )
        for entry in stored
    ]


def _encoded(document: dict[str, Any]) -> msgspec.Raw:
    """Return the document's JSON. Raises DocumentError for text that is none in Unicode."""
    try:
        return msgspec.Raw(msgspec.json.encode(document))
    except UnicodeEncodeError as error:
        raise DocumentError("recipe", [], f"a text is not Unicode ({error.reason})") from error


def _kept(recipe: Recipe, document: msgspec.Raw, at_us: int) -> RecipeKept:
    return RecipeKept(at_us=at_us, bench=None, lot=None, recipe=recipe, document=document)
