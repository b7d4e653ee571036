import sqlite3
from pathlib import Path

import pytest

from collector.store.sqlite_errors import store_error

FOLDER = Path("/srv/workshop")


def failed(code: int) -> sqlite3.Error:
    error = sqlite3.OperationalError("what SQLite said")
    error.sqlite_errorcode = code
    return error


# Names and numbers of the codes: https://www.sqlite.org/rescode.html
@pytest.mark.parametrize(
    ("code", "meaning", "remedy"),
    [
        (13, "the disk is full", "Free some space"),
        (10, "the disk cannot be read or written", "Check the disk"),
        (778, "the disk cannot be read or written", "Check the disk"),  # SQLITE_IOERR_WRITE
        (8, "may not be written", "the right to write"),
        (14, "cannot be opened", "Check that the folder exists"),
        (5, "keeps pourkeep.db locked", "End the program"),
        (11, "is damaged", "restore the last backup"),
        (26, "is not a database", "Move it away"),
        (1555, "breaks a rule of the tables", "report it"),  # SQLITE_CONSTRAINT_PRIMARYKEY
        (1, "the store failed", "SQLite's documentation"),
    ],
)
def test_each_failure_says_where_what_and_what_to_do(code: int, meaning: str, remedy: str) -> None:
    message = store_error(FOLDER, failed(code)).message
    assert message.startswith("/srv/workshop: ")
    assert meaning in message
    assert "(what SQLite said)" in message
    assert remedy in message


def test_an_error_of_the_module_itself_has_no_code_and_is_still_told() -> None:
    message = store_error(FOLDER, sqlite3.ProgrammingError("Cannot operate")).message
    assert "the store failed (Cannot operate)" in message
