"""Recipes as JSON."""

from typing import Any, Literal

from pydantic import BaseModel, Field

from api.shapes import Body
from api.sheet_shapes import SheetShown


class RecipeVersion(BaseModel):
    """A recipe that was kept, and which of its versions stands now."""

    name: str
    version: int


class RecipeEntry(BaseModel):
    """A recipe as it was last kept, with the document it came in, and what became of it.

    `fill` in grams, `load` in percent of `load_of`; `version` is also how many there are;
    `last_made` is null before its first lot; `retired` where it was put away.
    """

    name: str
    phases: list[str]
    recipe: dict[str, Any]
    version: int
    kept_at: str
    wax: str
    fragrance: str
    fill: float
    load: float
    load_of: Literal["wax", "total"]
    lots: int
    last_made: str | None
    retired: bool


class RecipeShown(BaseModel):
    """One recipe as it stands; `file` where a file of the recipe folder holds it too."""

    name: str
    version: int
    kept_at: str
    recipe: dict[str, Any]
    file: str | None
    retired: bool


class VersionShown(BaseModel):
    """One version of a recipe: what it changed against the one before, in words.

    `file` is the recipe folder's file that it came from, null where a person kept it.
    """

    number: int
    at: str
    recipe: dict[str, Any]
    changes: list[str]
    file: str | None


class RecipeRetiredShown(BaseModel):
    """A recipe that was put away."""

    name: str
    retired: bool


class PreviewRequest(Body):
    """A recipe that is still being written; `against` names the kept one it will replace."""

    document: dict[str, Any]
    vessels: int = Field(ge=1, le=1000)
    against: str | None = None


class ProblemShown(BaseModel):
    """What is wrong with one field, by its path of keys; `missing` where it is still empty."""

    path: list[str | int]
    message: str
    missing: bool


class PreviewShown(BaseModel):
    """What can be said of a recipe that is still being written.

    `sheet` is null where the grams are not known yet, `changes` where it is not finished or
    replaces nothing; `cautions` say what it leaves unwatched about heat.
    """

    problems: list[ProblemShown]
    sheet: SheetShown | None
    changes: list[str] | None
    cautions: list[str]
