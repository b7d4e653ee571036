"""Recipes and their versions read from the store, and shown."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import msgspec

from api import presenting, recipe_shapes
from api.instants import instant, instant_or_none
from collector.errors import ConflictError, NotFoundError
from collector.lot_events import RecipeKept, RecipeRetired
from collector.recipe_book import BookEntry, Version, recipe_book
from collector.recipe_cautions import cautions
from collector.recipe_changes import changes
from collector.recipe_draft import read_draft
from collector.store.history import History
from collector.store.records import StoredLot


def read_book(history: History) -> dict[str, BookEntry]:
    """Return every recipe with its versions, by name."""
    stored = history.events_of([RecipeKept, RecipeRetired])
    return recipe_book(each.event for each in stored)


def read_entry(history: History, name: str) -> BookEntry:
    """Return one recipe with its versions. Raises NotFoundError."""
    entry = read_book(history).get(name)
    if entry is None:
        raise NotFoundError(f"There is no recipe named {name!r}. GET /api/recipes lists them.")
    return entry


def entries(history: History) -> list[recipe_shapes.RecipeEntry]:
    """Return all recipes in a line each, by name."""
    book, lots = read_book(history), history.lots()
    return [_entry(book[name], lots) for name in sorted(book)]


def _entry(entry: BookEntry, lots: Sequence[StoredLot]) -> recipe_shapes.RecipeEntry:
    latest = entry.latest
    recipe = latest.kept.recipe
    opened = [lot.opened_us for lot in lots if lot.recipe == recipe.name]
    return recipe_shapes.RecipeEntry(
        name=recipe.name,
        phases=list(recipe.phases),
        recipe=document_of(latest.kept),
        version=latest.number,
        kept_at=instant(latest.kept.at_us),
        wax=recipe.wax.name,
        fragrance=recipe.fragrance.name,
        fill=presenting.thousandths(recipe.vessel.fill_mg),
        load=recipe.fragrance.load_ppm / 10_000,
        load_of=recipe.fragrance.load_of.value,
        lots=len(opened),
        last_made=instant_or_none(max(opened, default=None)),
        retired=entry.retired_us is not None,
    )


def shown(entry: BookEntry, paths: Mapping[str, Path]) -> recipe_shapes.RecipeShown:
    """Show a recipe as it stands; `paths` are the recipe folder's files by recipe."""
    kept = entry.latest.kept
    path = paths.get(kept.recipe.name)
    return recipe_shapes.RecipeShown(
        name=kept.recipe.name,
        version=entry.latest.number,
        kept_at=instant(kept.at_us),
        recipe=document_of(kept),
        file=None if path is None else f"{path.parent.name}/{path.name}",
        retired=entry.retired_us is not None,
    )


def versions(entry: BookEntry) -> list[recipe_shapes.VersionShown]:
    """Show every version of a recipe, the newest first."""
    return [_version(version) for version in reversed(entry.versions)]


def _version(version: Version) -> recipe_shapes.VersionShown:
    kept, before = version.kept, version.before
    return recipe_shapes.VersionShown(
        number=version.number,
        at=instant(kept.at_us),
        recipe=document_of(kept),
        changes=[] if before is None else list(changes(before, kept.recipe)),
        file=kept.file,
    )


def document_of(kept: RecipeKept) -> dict[str, object]:
    """Return the document that a recipe came in."""
    return msgspec.json.decode(bytes(kept.document), type=dict[str, object])


def stands(entry: BookEntry, document: Mapping[str, object]) -> bool:
    """Tell whether a recipe says this already, word for word, and is not put away."""
    return entry.retired_us is None and document_of(entry.latest.kept) == document


def refuse_overtaken(name: str, entry: BookEntry | None, replaces: int) -> None:
    """Raise ConflictError, with what stands now, unless that is what is meant to be replaced.

    `replaces` is the number of a version, 0 for a recipe that is not there yet.
    """
    number = 0 if entry is None else entry.latest.number
    if replaces == number:
        return
    if entry is None:
        raise ConflictError(
            f"There is no recipe {name!r} to replace version {replaces} of.", {"version": 0}
        )
    now = {"version": number, "recipe": document_of(entry.latest.kept)}
    if replaces == 0:
        raise ConflictError(
            f"There is a recipe {name!r} already: choose another name, or change that one.", now
        )
    raise ConflictError(
        f"Version {number} of {name!r} was kept in the meantime, and this was made out of version"
        f" {replaces}: nothing was kept, so that nothing is lost.",
        now,
    )


def preview(history: History, wanted: recipe_shapes.PreviewRequest) -> recipe_shapes.PreviewShown:
    """Say all that can be said of a recipe that is still being written."""
    draft = read_draft(wanted.document, wanted.vessels)
    known = read_book(history).get(wanted.against) if wanted.against is not None else None
    return recipe_shapes.PreviewShown(
        problems=[
            recipe_shapes.ProblemShown(
                path=list(said.path), message=said.message, missing=said.missing
            )
            for said in draft.complaints
        ],
        sheet=None
        if draft.weighed is None or draft.sheet is None
        else presenting.sheet(draft.weighed, draft.sheet),
        changes=None
        if known is None or draft.recipe is None
        else list(changes(known.latest.kept.recipe, draft.recipe)),
        cautions=[] if draft.recipe is None else list(cautions(draft.recipe)),
    )
