"""What `pourkeep verify` says to a person: the first broken link before all else."""

from pathlib import Path

import pytest
from store_at_hand import lay, pourkeep, tamper

from collector.store.chain import GENESIS, link

CHANGED = "UPDATE event SET body = CAST(body || ' ' AS BLOB) WHERE seq IN (3, 5)"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay(tmp_path / "data")


def said_of(folder: Path, capsys: pytest.CaptureFixture[str], *more: str) -> list[str]:
    assert pourkeep("verify", "--data", folder, *more) == 1
    out, err = capsys.readouterr()
    assert err == ""
    return str(out).splitlines()


def test_a_sound_folder_is_said_to_be_so(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert pourkeep("verify", "--data", folder) == 0
    assert capsys.readouterr().out.endswith("the store agree (6 events).\n")


def test_the_first_broken_link_is_named_first(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", CHANGED)
    verdict, breaks, why, *rest = said_of(folder, capsys)
    assert verdict == f"{folder}: NOT SOUND"
    assert breaks == (
        "The chain breaks at event 3 of 6"
        " (weighing accepted of lot 2026-11-25-1, 2026-11-25 09:46:40 UTC)."
    )
    assert "changed after it was written" in why
    assert "  Everything up to event 2, of 2026-11-25 09:46:40 UTC, is as it was written." in rest
    assert any("pourkeep restore --from FILE" in line for line in rest)
    assert [line.split(":")[0] for line in rest[-2:]] == ["  event 3", "  event 5"]


def test_a_missing_first_event_leaves_nothing_to_rely_on(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "DELETE FROM event WHERE seq = 1")
    said = said_of(folder, capsys)
    assert said[1].startswith("The chain breaks at event 1 of 6")
    assert "  No event of this journal can be relied on." in said


def test_events_missing_at_the_end_are_a_break(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "DELETE FROM event WHERE seq >= 5")
    assert said_of(folder, capsys)[1] == "The chain breaks at event 5 of 6."


def test_a_record_of_the_last_event_that_is_another_is_a_break_at_the_end(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "UPDATE tip SET chain = zeroblob(32)")
    assert said_of(folder, capsys)[1] == "The chain breaks at its end, after event 6."


def test_a_text_that_is_no_event_is_told_apart_from_a_broken_link(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chain = "UPDATE event SET body = x'7b', chain = ? WHERE seq = 1"
    tamper(folder / "pourkeep.db", chain, [link(GENESIS, b"{")])
    assert said_of(folder, capsys)[1].startswith("The text cannot be read of event 1 of 6")


def test_tables_that_do_not_follow_are_sent_to_a_rebuild(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper(folder / "pourkeep.db", "UPDATE lot SET vessels = 99")
    said = said_of(folder, capsys)
    assert said[1] == "The journal's chain is whole: every event is as it was written."
    assert f"  Stop the service, then: pourkeep rebuild --data {folder}" in said
    assert not any("restore" in line for line in said)


def test_of_many_faults_the_first_are_shown_unless_all_are_asked_for(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for number in range(30):
        tamper(folder / "pourkeep.db", "INSERT INTO alarm_event VALUES ('x', ?)", [number])
    assert said_of(folder, capsys)[-1] == "  … and 10 more: pourkeep verify --all lists them."
    assert sum(line.startswith("  event of") for line in said_of(folder, capsys, "--all")) == 30
