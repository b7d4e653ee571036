"""The engine: wire code, the bench as a pure machine, readers, store and pipeline."""
