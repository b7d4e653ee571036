"""Recipes as files say them, to be changed a line at a time."""

from pathlib import Path

import pytest

from collector.errors import DocumentError
from collector.recipe_file import read_recipe_file
from collector.recipes import Recipe

HEATHER = """\
name = "Heather bank"
[vessel]
fill = "180 g"
tolerance = "2 g"
[wax]
name = "soy blend"
[fragrance]
name = "heather"
load = "8 %"
load_of = "wax"
[stir]
at_least = "2 min"
[pour]
between = ["57 degC", "63 degC"]
[cure]
"""
"""What a test adds begins on line 16."""


def read(folder: Path, text: str) -> Recipe:
    file = folder / "recipe.toml"
    file.write_text(text, "utf-8")
    return read_recipe_file(file)[0]


def complaint(folder: Path, text: str) -> str:
    """Return the complaint without the file in front of it."""
    with pytest.raises(DocumentError) as refused:
        read(folder, text)
    return refused.value.message.removeprefix(f"{folder}/recipe.toml:")
