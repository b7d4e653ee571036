"""`pourkeep verify`: checks whether a data folder is sound."""

import argparse

from collector.store.verify import verify


def run(arguments: argparse.Namespace) -> int:
    """Check journal and store; print where they break."""
    faults = verify(arguments.data)
    for fault in faults:
        print(fault)
    if faults:
        return 1
    print(f"{arguments.data}: the journal's chain and the store agree.")
    return 0
