"""What a server's answer means for the points that were sent: pure.

Status codes as published for 1.x (/write), 2.x and 3.x (/api/v2/write):
https://docs.influxdata.com/influxdb/v1/tools/api/#status-codes-and-responses-2
https://docs.influxdata.com/influxdb/v2/write-data/troubleshoot/
https://docs.influxdata.com/influxdb3/core/write-data/troubleshoot/
"""

import re

import msgspec

from collector.errors import RemoteStoreError

_DROPPED = re.compile(r"\bdropped=(\d+)")
_LINES_AT_FAULT = re.compile(
    r"partial write|unable to parse|failed to parse|parsing failed|line protocol|field type"
    r"|column type|on line\(s\)|beyond retention|limit exceeded",
    re.IGNORECASE,
)
"""How servers of each generation say that it is the points, and not the request, they refuse."""

_MISSING_DATABASE = re.compile(r"database not found", re.IGNORECASE)
_MISSING_POLICY = re.compile(r"retention policy not found", re.IGNORECASE)
_MISSING_PLACE = re.compile(r"\b(bucket|org|organization)\b.*not found", re.IGNORECASE)

_MOST_WORDS = 300
"""A server's reason is cut here: it may repeat a whole line."""


class UnreachableError(RemoteStoreError):
    """The server is away or has too much to do; `after_s` is when it wants to be asked again."""

    def __init__(self, message: str, after_s: float | None = None) -> None:
        self.after_s = after_s
        super().__init__(message)


class RefusedError(RemoteStoreError):
    """The server refuses some of the points for good.

    `dropped` is how many, where it says so. Those that it did not refuse may be stored or not.
    """

    def __init__(self, message: str, dropped: int | None = None) -> None:
        self.dropped = dropped
        super().__init__(message)


class MisconfiguredError(RemoteStoreError):
    """The server wants something else than the config says; a person has to see to it."""


class MissingDatabaseError(MisconfiguredError):
    """A 1.x server has no such database; it can be made by asking."""


class NoSuchPathError(MisconfiguredError):
    """The server knows no such address: it is of another generation, or no InfluxDB."""


class _Body(msgspec.Struct):
    """The error documents of 1.x and 3.x (`error`) and of 2.x (`message`)."""

    error: str | None = None
    message: str | None = None


def complaint(where: str, status: int, body: bytes, retry_after: str | None) -> RemoteStoreError:
    """Return the error that an answer other than success means; `where` names the server."""
    said, is_document = _said(body)
    words = f"{where} answers {status}: {said}" if said else f"{where} answers {status}"
    if _MISSING_POLICY.search(said):
        return MisconfiguredError(f"{words}. Make that retention policy or name another one.")
    if status == 404:
        return _not_found(words, said, is_document=is_document)
    if status in (401, 403):
        return MisconfiguredError(
            f"{words}. Correct token, or user and password, in [influx], or the rights there."
        )
    if status in (413, 422) or (status == 400 and _LINES_AT_FAULT.search(said)):
        dropped = _DROPPED.search(said)
        return RefusedError(words, int(dropped[1]) if dropped else None)
    if status in (408, 429) or status >= 500:
        return UnreachableError(words, _seconds(retry_after))
    return MisconfiguredError(f"{words}. See whether the url in [influx] is that of an InfluxDB.")


def _not_found(words: str, said: str, *, is_document: bool) -> MisconfiguredError:
    if _MISSING_DATABASE.search(said):
        return MissingDatabaseError(words)
    if is_document and _MISSING_PLACE.search(said):
        return MisconfiguredError(f"{words}. Make it there or correct [influx].")
    return NoSuchPathError(f"{words}. See whether the url in [influx] is that of an InfluxDB.")


def _said(body: bytes) -> tuple[str, bool]:
    """Return the server's own words, and whether they came in an error document of InfluxDB."""
    try:
        document = msgspec.json.decode(body, type=_Body)
        said, is_document = document.message or document.error or "", True
    except msgspec.DecodeError:
        said, is_document = body.decode("utf-8", "replace"), False
    return " ".join(said.split())[:_MOST_WORDS], is_document


def _seconds(retry_after: str | None) -> float | None:
    """Return the seconds of a Retry-After; RFC 9110, 10.2.3 also allows a date, which waits."""
    return float(retry_after) if retry_after and retry_after.isdecimal() else None
