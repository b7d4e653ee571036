"""What a power cut leaves of the last write, at fifty random bytes, and what damage looks like.

A disk writes sectors of 512 bytes, in any order until it is told to sync; what was synced stays
(https://www.sqlite.org/atomiccommit.html, section 2). The log's pages are synced with each
commit, and before a checkpoint moves them.
"""

import asyncio
import random
from collections.abc import Iterable
from pathlib import Path

import pytest
from store_at_hand import dump, pourkeep, tamper
from store_in_mid_life import Commit, Files, mid_life
from store_samples import alarm_raised

from collector.errors import StoreError
from collector.events import encode
from collector.readings import Reading
from collector.store import History, Store
from collector.store.verify import verify

SECTOR = 512
PAGE = 4096
LOG_HEAD, FRAME = 32, 24 + PAGE  # https://www.sqlite.org/fileformat2.html, section 4.1
EVER = 2**62


@pytest.fixture(scope="module")
def commits(tmp_path_factory: pytest.TempPathFactory) -> list[Commit]:
    return mid_life(tmp_path_factory.mktemp("mid_life") / "data")


@pytest.fixture(scope="module")
def stopped(commits: list[Commit], tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Give the database of a store that was stopped in order: one file, no log."""
    folder = commits[-1].after.lay(tmp_path_factory.mktemp("stopped") / "data")
    Store.open(folder).close()
    return (folder / "pourkeep.db").read_bytes()


def chance_of(name: str) -> random.Random:
    return random.Random(f"20261126/{name}")  # noqa: S311 - places, not secrets


def written(commit: Commit) -> tuple[int, int]:
    """Return where in the log the commit's write begins and ends."""
    old, new = commit.before.log, commit.after.log
    old += b"\0" * (len(new) - len(old))
    differ = [at for at in range(0, len(new), 8) if old[at : at + 8] != new[at : at + 8]]
    first, last = differ[0], differ[-1] + 8
    begins = 0 if first < LOG_HEAD else LOG_HEAD + (first - LOG_HEAD) // FRAME * FRAME
    return begins, min(len(new), LOG_HEAD - (LOG_HEAD - last) // FRAME * FRAME)


def channels(folder: Path) -> list[str]:
    opened = History(folder).events_after(0, EVER)
    return sorted({c.name for one in opened for c in getattr(one.event, "channels", ())})


def counted_readings(folder: Path) -> int:
    history = History(folder)
    return sum(history.readings(name, 0, EVER).times.size for name in channels(folder))


def goes_on(files: Files, commit: Commit, folder: Path) -> bool:
    """Hold a cut store to what was synced; return whether the last commit is still there."""
    files.lay(folder)
    store = Store.open(folder)
    history = History(folder)
    events, readings = history.last_seq(), counted_readings(folder)
    kept = events_of(folder)
    assert kept[: commit.events] == synced_events(commit, folder)
    assert verify(folder) == []
    new = Reading(channels(folder)[0], EVER, 1)
    assert asyncio.run(store.commit([new], [alarm_raised("after", None)])) == [events + 1]
    store.close()
    assert verify(folder) == []
    last_is_there = readings > commit.readings
    assert last_is_there or (events, readings) == (commit.events, commit.readings)
    return last_is_there


def events_of(folder: Path) -> list[bytes]:
    return [encode(one.event) for one in History(folder).events_after(0, EVER)]


def synced_events(commit: Commit, folder: Path) -> list[bytes]:
    """Return the events that were synced before the commit, out of the files of that time."""
    whole = commit.before.lay(folder.with_name(f"{folder.name}-synced"))
    Store.open(whole).close()
    found = events_of(whole)
    assert len(found) == commit.events
    return found


def test_a_log_cut_at_any_byte_of_its_last_write(commits: list[Commit], tmp_path: Path) -> None:
    chance = chance_of("cut")
    kept = []
    for number in range(20):
        commit = commits[number % len(commits)]
        begins, ends = written(commit)
        at = ends if number < 3 else chance.randint(begins, ends)
        files = Files(commit.after.database, commit.after.log[:at])
        kept.append(goes_on(files, commit, tmp_path / str(number)))
        assert kept[-1] == (at == ends)
    assert sum(kept) >= 3


@pytest.mark.parametrize("missing", ["zeros", "old content"])
def test_sectors_of_the_last_write_that_were_never_written(
    commits: list[Commit], tmp_path: Path, missing: str
) -> None:
    chance = chance_of(missing)
    for number in range(8):
        commit = commits[number % len(commits)]
        begins, ends = written(commit)
        log = bytearray(commit.after.log)
        old = commit.before.log if missing == "old content" else b""
        old = old.ljust(len(log), b"\0")
        sectors = range(begins - begins % SECTOR, ends, SECTOR)
        lost = chance.sample(sectors, chance.randint(1, len(sectors)))
        for at in lost:
            log[max(begins, at) : min(ends, at + SECTOR)] = old[
                max(begins, at) : min(ends, at + SECTOR)
            ]
        differs = bytes(log) != commit.after.log
        there = goes_on(Files(commit.after.database, bytes(log)), commit, tmp_path / str(number))
        assert there != differs


def half_checkpointed(commit: Commit, sectors: Iterable[int]) -> bytes:
    """Return the database with only these sectors of a checkpoint written."""
    new = commit.checkpointed
    database = bytearray(commit.after.database.ljust(len(new), b"\0"))
    for at in sectors:
        database[at : at + SECTOR] = new[at : at + SECTOR]
    return bytes(database)


def changed_sectors(commit: Commit) -> list[int]:
    new, old = commit.checkpointed, commit.after.database
    return [
        at
        for page in range(0, len(new), PAGE)
        if old[page : page + PAGE] != new[page : page + PAGE]
        for at in range(page, page + PAGE, SECTOR)
    ]


@pytest.mark.parametrize("order", ["in order", "in any order"])
def test_a_checkpoint_cut_in_the_middle(commits: list[Commit], tmp_path: Path, order: str) -> None:
    chance = chance_of(order)
    for number in range(7):
        commit = commits[number % len(commits)]
        sectors = changed_sectors(commit)
        assert len(sectors) > 16
        many = chance.randint(1, len(sectors) - 1)
        done = sectors[:many] if order == "in order" else chance.sample(sectors, many)
        files = Files(half_checkpointed(commit, done), commit.after.log)
        if order == "in order" and number % 2:  # the file ends where the writing did
            written_to = max(done) + chance.randint(1, SECTOR)
            as_long = max(written_to, len(commit.after.database))
            files = Files(files.database[:as_long], files.log)
        assert goes_on(files, commit, tmp_path / str(number)), "the log is whole"


# ---------------------------------------------------------------- true damage

COMMANDS = (("verify",), ("lots",), ("rebuild",), ("alarms",), ("backup", "--to"))


def lay_file(content: bytes, folder: Path) -> Path:
    folder.mkdir()
    (folder / "pourkeep.db").write_bytes(content)
    return folder


def names_the_damage(folder: Path, capsys: pytest.CaptureFixture[str]) -> bool:
    """Return whether verify finds it; nothing may end in anything but a sentence."""
    found = pourkeep("verify", "--data", folder) == 1
    out, err = capsys.readouterr()
    assert not found or "NOT SOUND" in out or "damaged" in err or "not a database" in err
    for command, *option in COMMANDS[1:]:
        target = [f"{folder}.backup"] if option else []
        pourkeep(command, *option, *target, "--data", folder)
    refused = refusal_of(folder)
    assert refused is None or "damaged" in refused or "not a database" in refused
    capsys.readouterr()
    return found


def refusal_of(folder: Path) -> str | None:
    """Open the store as a service would, and return what it is refused with."""
    try:
        Store.open(folder).close()
    except StoreError as error:
        return error.message
    return None


def test_a_file_that_was_cut_short_is_said_to_be_damaged(
    stopped: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chance = chance_of("short")
    for number in range(12):
        content = stopped[: chance.randint(1, len(stopped) - 1)]
        assert names_the_damage(lay_file(content, tmp_path / str(number)), capsys)


@pytest.mark.parametrize("size", [SECTOR, PAGE])
def test_a_file_that_was_overwritten_in_the_middle_is_said_to_be_damaged(
    stopped: bytes, tmp_path: Path, size: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """What verify does not find is in no row: a sector of unused space."""
    chance = chance_of(f"over {size}")
    sound = sorted(dump(lay_file(stopped, tmp_path / "sound") / "pourkeep.db"))
    missed = 0
    for number in range(25):
        at = chance.randrange(0, len(stopped), size)
        content = stopped[:at] + chance.randbytes(size) + stopped[at + size :]
        folder = lay_file(content, tmp_path / str(number))
        if not names_the_damage(folder, capsys):
            assert sorted(dump(folder / "pourkeep.db")) == sound  # rebuild makes indexes afresh
            missed += 1
    assert missed < 10


@pytest.mark.parametrize("seq", [1, 5, 9])
def test_a_removed_event_is_named(
    stopped: bytes, tmp_path: Path, seq: int, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = lay_file(stopped, tmp_path / "data")
    tamper(folder / "pourkeep.db", "DELETE FROM event WHERE seq = ?", [seq])
    assert pourkeep("verify", "--data", folder) == 1
    assert f"The chain breaks at event {seq} of " in capsys.readouterr().out
