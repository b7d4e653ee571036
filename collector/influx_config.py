"""Where the scale-out history is: the section [influx] of workshop.toml."""

from pathlib import Path
from urllib.parse import urlsplit

import msgspec

from collector.documents import Section
from collector.units import Dimension

LEAST_EVERY_US = 1_000_000
MOST_EVERY_US = 3_600_000_000

_SCHEMES = ("http", "https")


class InfluxConfig(msgspec.Struct, frozen=True, kw_only=True):
    """An InfluxDB server, or a cluster behind the same protocol, and how to sign in there.

    `url` has no slash at its end. `retention_policy` None means the database's own. A token
    (2.x, 3.x) and a user with a password (1.x) exclude each other; neither means that the server
    asks for nothing. `ca` is a file of certificates to trust instead of the system's. `every_us` is
    the time between two sendings when all is well: each costs the disk here a transaction.
    """

    url: str
    database: str
    retention_policy: str | None = None
    org: str = ""
    token: str | None = None
    user: str | None = None
    password: str | None = None
    verify: bool = True
    ca: Path | None = None
    every_us: int = 5_000_000

    @property
    def bucket(self) -> str:
        """What the 2.x API calls database and retention policy together."""
        if self.retention_policy is None:
            return self.database
        return f"{self.database}/{self.retention_policy}"


def read_influx(root: Section, folder: Path) -> InfluxConfig | None:
    """Return the section [influx], None where there is none; paths are relative to `folder`.

    Raises DocumentError. A complaint never repeats a token or a password.
    """
    if not root.has("influx"):
        return None
    section = root.section("influx")
    url = _url(section)
    database, policy = _place(section)
    token, user, password = _credentials(section, folder)
    verify, ca = _trust(section, folder, url)
    return InfluxConfig(
        url=url,
        database=database,
        retention_policy=policy,
        org=section.text("org") if section.has("org") else "",
        token=token,
        user=user,
        password=password,
        verify=verify,
        ca=ca,
        every_us=_every_us(section),
    )


def _url(section: Section) -> str:
    url = section.text("url").rstrip("/")
    try:
        parts = urlsplit(url)
    except ValueError:  # a bracket that is not closed, for example
        section.refuse(f'expected an address such as "http://127.0.0.1:8086", not "{url}"', "url")
    if "@" in parts.netloc:  # said without the url: it holds a password
        section.refuse("write user and password as keys of their own, not in the url", "url")
    if parts.scheme not in _SCHEMES or not _has_host(url) or parts.query or parts.fragment:
        section.refuse(
            f'expected an address such as "http://127.0.0.1:8086", not "{url}"',
            "url",
        )
    return url


def _every_us(section: Section) -> int:
    every_us = section.quantity("every", Dimension.DURATION, "5 s")
    if not LEAST_EVERY_US <= every_us <= MOST_EVERY_US:
        section.refuse('expected between "1 s" and "1 h"', "every")
    return every_us


def _has_host(url: str) -> bool:
    try:
        parts = urlsplit(url)
        return bool(parts.hostname) and parts.port != 0
    except ValueError:  # a port that is none
        return False


def _place(section: Section) -> tuple[str, str | None]:
    """Return database and retention policy, by either of the two names that servers use."""
    if section.has("bucket"):
        if section.has("database"):
            section.refuse("write either database (1.x, 3.x) or bucket (2.x), not both", "bucket")
        if section.has("retention_policy"):
            section.refuse(
                'a bucket has its retention itself; for 1.x write "database"', "retention_policy"
            )
        database, _, policy = section.text("bucket").partition("/")
        return database, policy or None
    database = section.text("database")
    if "/" in database:
        section.refuse("a database has no / in its name; see retention_policy", "database")
    policy = section.text("retention_policy") if section.has("retention_policy") else ""
    return database, policy or None


def _credentials(section: Section, folder: Path) -> tuple[str | None, str | None, str | None]:
    token = _secret(section, "token", folder)
    user = section.text("user") if section.has("user") else None
    password = _secret(section, "password", folder)
    if token is not None and (user is not None or password is not None):
        section.refuse("write either a token or user and password, not both", "token")
    if user is not None and (not _usable(user) or ":" in user):
        section.refuse("expected printable ASCII text without a colon (RFC 7617)", "user")
    if (user is None) != (password is None):
        missing, there = ("password", "user") if password is None else ("user", "password")
        section.refuse(f'"{missing}" is missing beside {there}')
    return token, user, password


def _secret(section: Section, name: str, folder: Path) -> str | None:
    """Return the secret `name`, or the first line of the file `name`_file."""
    file_name = f"{name}_file"
    has_text, has_file = section.has(name), section.has(file_name)
    if has_text and has_file:
        section.refuse(f"write either {name} or {file_name}, not both", file_name)
    if has_file:
        return _first_line(section, section.path(file_name, folder), file_name)
    if not has_text:
        return None
    value = section.tree[name]
    if not isinstance(value, str) or not _usable(value):
        section.refuse("expected printable ASCII text in quotes", name)
    return value


def _first_line(section: Section, path: Path, file_name: str) -> str:
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        section.refuse(f"{path} cannot be read: {error}", file_name)
    secret = lines[0].strip() if lines else ""
    if not _usable(secret):
        section.refuse(f"the first line of {path} is not printable ASCII text", file_name)
    return secret


def _usable(secret: str) -> bool:
    """Tell whether a secret can stand in an HTTP header (RFC 9110, 5.5)."""
    return bool(secret) and secret.isascii() and secret.isprintable()


def _trust(section: Section, folder: Path, url: str) -> tuple[bool, Path | None]:
    verify = section.flag("verify") if section.has("verify") else True
    ca = section.path("ca", folder) if section.has("ca") else None
    if ca is not None and not ca.is_file():
        section.refuse(f"there is no file {ca}", "ca")
    if url.startswith("http:") and (ca is not None or not verify):
        section.refuse('this is for addresses that begin with "https://"', "ca" if ca else "verify")
    return verify, ca
