"""`pourkeep rebuild`: makes afresh what follows from the journal."""

import argparse
import sys
from collections.abc import Iterator

from api.command_line.store_words import counted, joined
from api.command_line.verify import break_lines
from collector.store.rebuild import JournalBrokenError, TableRebuilt, rebuild


def run(arguments: argparse.Namespace) -> int:
    """Rebuild, and print what was wrong before; 1 where the journal itself is broken."""
    try:
        tables = rebuild(arguments.data)
    except JournalBrokenError as error:
        told = break_lines(arguments.data, error.found)
        print("pourkeep: nothing was rebuilt, for the journal is broken.", file=sys.stderr)
        print("\n".join(told), file=sys.stderr)
        return 1
    print("\n".join(f"  {line}" for line in table_lines(tables)))
    if all(table.agreed for table in tables):
        print(f"{arguments.data}: all of it agreed with the journal already.")
    else:
        print(f"{arguments.data}: what follows from the journal was made afresh.")
    return 0


def table_lines(tables: list[TableRebuilt]) -> Iterator[str]:
    """Say of each table in a line what was wrong."""
    for table in tables:
        yield f"{table.table:12} {counted(table.rows, 'row')}: {_wrong(table)}"


def _wrong(table: TableRebuilt) -> str:
    if table.unreadable:
        return "the old table could not be read"
    numbers = {
        "missing": table.missing,
        "foreign": table.foreign,
        "different": table.different,
    }
    told = [f"{number:,} {what}" for what, number in numbers.items() if number]
    return f"{joined(told)} before" if told else "nothing changed"
