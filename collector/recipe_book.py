"""Every recipe with its versions: what the journal says was kept and put away, by name."""

from collections.abc import Iterable

import msgspec

from collector.events import AnyEvent
from collector.lot_events import RecipeKept, RecipeRetired
from collector.recipes import Recipe


class Version(msgspec.Struct, frozen=True):
    """One version of a recipe, numbered from 1; `before` is the one that it took the place of."""

    number: int
    kept: RecipeKept
    before: Recipe | None


class BookEntry(msgspec.Struct, frozen=True):
    """One recipe: its versions from the first on, and since when it is put away, if it is."""

    versions: tuple[Version, ...]
    retired_us: int | None = None

    @property
    def latest(self) -> Version:
        """What stands now."""
        return self.versions[-1]

    @property
    def from_file(self) -> Recipe | None:
        """What the recipe folder's file said when it was last taken; None where it never was."""
        taken = (v.kept.recipe for v in reversed(self.versions) if v.kept.file is not None)
        return next(taken, None)


def recipe_book(events: Iterable[AnyEvent]) -> dict[str, BookEntry]:
    """Return every recipe by name, in the order in which they were first kept."""
    book: dict[str, BookEntry] = {}
    for event in events:
        if isinstance(event, RecipeKept):
            entry = book.get(event.recipe.name, BookEntry(()))
            before = entry.latest.kept.recipe if entry.versions else None
            version = Version(len(entry.versions) + 1, event, before)
            book[event.recipe.name] = BookEntry((*entry.versions, version))
        elif isinstance(event, RecipeRetired) and event.recipe in book:
            book[event.recipe] = BookEntry(book[event.recipe].versions, event.at_us)
    return book
