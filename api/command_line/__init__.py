"""The command line: `pourkeep ARGS...`."""

from api.command_line.entry import main

__all__ = ["main"]
