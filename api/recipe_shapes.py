"""Recipes as JSON."""

from typing import Any

from pydantic import BaseModel


class RecipeName(BaseModel):
    """A recipe that was kept."""

    name: str


class RecipeEntry(BaseModel):
    """A recipe as it was last kept, with the document it came in."""

    name: str
    phases: list[str]
    recipe: dict[str, Any]
