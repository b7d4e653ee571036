"""Words and numbers of answers; what each status means is held in tests/wire."""

import pytest

from collector.store.influx.answers import (
    MisconfiguredError,
    MissingDatabaseError,
    RefusedError,
    UnreachableError,
    complaint,
)

WHERE = "The InfluxDB at http://pier"


def test_the_servers_own_words_are_told_and_cut() -> None:
    body = b'{"error": "partial write: unable to parse\\n \'' + b"x" * 5000 + b"'\"}"
    told = complaint(WHERE, 400, body, None).message
    assert told.startswith(f"{WHERE} answers 400: partial write: unable to parse 'xxx")
    assert len(told) < 400


@pytest.mark.parametrize("body", [b"", b"\xff\xfe", b"[1]", b"{}", b'{"error": null}', b"null"])
def test_a_body_of_any_kind_is_survived(body: bytes) -> None:
    assert complaint(WHERE, 503, body, None).message.startswith(f"{WHERE} answers 503")


@pytest.mark.parametrize(
    ("retry_after", "after_s"), [("0", 0.0), ("90", 90.0), ("-1", None), ("soon", None), ("", None)]
)
def test_a_wish_for_later_is_a_number_of_seconds(retry_after: str, after_s: float | None) -> None:
    told = complaint(WHERE, 429, b"", retry_after)
    assert isinstance(told, UnreachableError)
    assert told.after_s == after_s


@pytest.mark.parametrize(
    ("status", "said", "kind"),
    [
        (404, 'database not found: "pour"', MissingDatabaseError),  # 1.6.7 writes it so
        (500, "retention policy not found: year", MisconfiguredError),  # and this, with a 500
        (400, "partial write: points beyond retention policy dropped=7", RefusedError),
        (400, "parsing failed for write_lp endpoint", RefusedError),  # 3.x
    ],
)
def test_what_1x_and_3x_say_is_understood(status: int, said: str, kind: type[Exception]) -> None:
    body = b'{"error": "' + said.replace('"', '\\"').encode() + b'"}'
    assert type(complaint(WHERE, status, body, None)) is kind
