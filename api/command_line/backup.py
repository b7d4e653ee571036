"""`pourkeep backup` and `pourkeep restore`: a checked copy while the service runs, and back."""

import argparse
import sys
from pathlib import Path

from api.command_line.store_words import counted, fault_lines, megabytes, moment
from collector.store.backup import back_up
from collector.store.backup_file import BackupFacts
from collector.store.restore import restore


def run_backup(arguments: argparse.Namespace) -> int:
    """Make a backup and say what is in it."""
    facts = back_up(arguments.data, arguments.to)
    print(f"{arguments.to}: {_told(facts)}")
    print("  Copied as of one moment, checked and synced.")
    _warn(arguments.data, facts)
    return 0


def run_restore(arguments: argparse.Namespace) -> int:
    """Make a backup the store of a folder and say what is in it."""
    facts = restore(arguments.backup, arguments.data)
    print(f"{arguments.data}: restored from {arguments.backup}, {_told(facts)}")
    print("  What happened after that is not in it.")
    _warn(arguments.data, facts)
    return 0


def _told(facts: BackupFacts) -> str:
    last = "" if facts.last_us is None else f", the last of {moment(facts.last_us)}"
    return f"{megabytes(facts.size)}, {counted(facts.events, 'event')}{last}."


def _warn(data: Path, facts: BackupFacts) -> None:
    """Say on the side of errors what the copy has taken over from its store."""
    if facts.faults:
        found = counted(len(facts.faults), "fault")
        print(f"pourkeep: the store has {found}, and so has its copy.", file=sys.stderr)
        print("\n".join(fault_lines(facts.faults)), file=sys.stderr)
        print(f"  pourkeep verify --data {data} says what they mean.", file=sys.stderr)
