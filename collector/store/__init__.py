"""The embedded store: `Store` writes, `History` reads, `verify.verify` checks."""

from collector.store.history import History
from collector.store.records import ReadingSpan, StoredEvent, StoredLot, StoredRecipe
from collector.store.store import Store

__all__ = ["History", "ReadingSpan", "Store", "StoredEvent", "StoredLot", "StoredRecipe"]
