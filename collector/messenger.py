"""Messages to wherever an address leads: the one module that knows apprise.

An address is a secret: who has it can write there as the workshop does. Nothing here shows more of
it than its kind and, where it names one, the machine it leads to.
"""

import logging
import re
import warnings
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING
from urllib.parse import unquote

from collector.errors import NoticeError

if TYPE_CHECKING:
    from apprise import Apprise
    from apprise.plugins.base import NotifyBase

_SHORTEST_SECRET = 3
"""Shorter parts of an address would blot out words in which they occur by chance."""

_LONGEST_REASON = 200
_PARTS = re.compile(r"[/:@,;#+]+")
_CAUSE = re.compile(
    r"\[Errno -?\d+\] [A-Za-z ,'-]+"
    r"|certificate verify failed: [A-Za-z ,'-]+"
    r"|\(\d{3}, b?'[^']*'\)"  # what an SMTP server answered
    r"|timed out"
)
"""What of the library's details is passed on. The rest may hold an address in any disguise."""

_PLAIN = (
    (re.compile(r"\[Errno 111\]"), "nothing listens there, or it refuses the connection"),
    (re.compile(r"\[Errno -\d\]"), "its name is not known: no network, or a slip in the address"),
    (re.compile(r"\[Errno 1(01|13)\]"), "there is no way to it: the network may be down"),
    (re.compile("timed out"), "it did not answer in time"),
    (re.compile("certificate verify failed"), "its certificate is not trusted"),
    (re.compile(r"\(53[0-9],"), "it refuses the user or the password"),
    (re.compile("error=40[13]"), "it refuses the user, the password or the token"),
)
"""The commonest failures as a person says them: error numbers of Linux and of getaddrinfo(3), SMTP
replies (RFC 4954, section 6), HTTP status codes (RFC 9110, section 15.5)."""

_WEB = ("http", "https")
_REASONS = (logging.getLevelName(logging.WARNING), logging.getLevelName(logging.ERROR))


class Messenger:
    """One address that messages are sent to."""

    def __init__(self, url: str) -> None:
        """Raise NoticeError for an address that cannot be used."""
        self._way, plugin = _way_to(url)
        host = plugin.host if _names_a_host(plugin) else ""
        schema = url.partition("://")[0].lower()
        if schema in _WEB:  # copied from a service's own page
            schema = str(plugin.service_name)
        self.label = f"{schema} {host}".strip()
        """What it is called where everybody can read it."""
        self._secrets = tuple(_secrets(url, shown=host))

    def send(self, subject: str, body: str) -> None:
        """Send a message. Blocks, seldom for more than half a minute; raises NoticeError."""
        logging.getLogger("apprise").setLevel(logging.DEBUG)  # else nobody is told of causes
        result = self._way.notify(
            body=body, title=subject, body_format="text", log_level=logging.DEBUG
        )
        if result:
            return
        entries = [(entry.level, entry.message) for entry in result.logs()]
        raise NoticeError(reason_of(entries, self._secrets))


def labels(messengers: Iterable[Messenger]) -> list[str]:
    """Return what each is called; a number tells those apart that are called the same."""
    told: list[str] = []
    counts: dict[str, int] = {}
    for messenger in messengers:
        n = counts[messenger.label] = counts.get(messenger.label, 0) + 1
        told.append(messenger.label if n == 1 else f"{messenger.label} ({n})")
    return told


def reason_of(entries: Iterable[tuple[str, str]], secrets: Iterable[str]) -> str:
    """Return why a message was not sent, from the levels and texts of what was logged meanwhile.

    None of the `secrets` is in it.
    """
    warned, cause = "it was not sent", ""
    for level, text in entries:
        found = _CAUSE.search(text)
        if level in _REASONS:
            warned = text.strip().rstrip(".")
        elif found is not None:
            cause = found[0].strip()
    told = cause or warned
    plain = next((words for fault, words in _PLAIN if fault.search(told)), warned)
    reason = plain if plain == told else f"{plain} ({told})"
    for secret in sorted(secrets, key=len, reverse=True):
        reason = reason.replace(secret, "***")
    return f"{' '.join(reason.split())[:_LONGEST_REASON]}."


def _way_to(url: str) -> "tuple[Apprise, NotifyBase]":
    """Return the library's way to an address. Raises NoticeError."""
    if "://" not in url:
        raise NoticeError('expected an address such as "mailto://…" or "json://…"')
    log = logging.getLogger("apprise")
    log.propagate = False  # it writes addresses out when it does not understand them
    if not log.handlers:  # without any, Python writes warnings to stderr
        log.addHandler(logging.NullHandler())
    with warnings.catch_warnings():
        # Some of its many plugins use what a later Python will not have.
        warnings.simplefilter("ignore", DeprecationWarning)
        # On first use: it takes half a second and some 40 MB.
        from apprise import Apprise, AppriseAsset  # noqa: PLC0415

        # In the calling thread, for as long as it takes: who calls has a limit of its own.
        asset = AppriseAsset(async_mode=False, service_timeout=0, result_log_disk_size=0)
        asset.app_id = asset.app_desc = "pourkeep"
        plugin = Apprise.instantiate(url, asset=asset, suppress_exceptions=True)
    if plugin is None:
        raise NoticeError(
            "apprise does not understand this address, or a package for its kind is missing"
        )
    way = Apprise(asset=asset)
    way.add(plugin)
    return way, plugin


def _names_a_host(plugin: "NotifyBase") -> bool:
    """Tell whether what stands in the host's place is one: with many kinds it is a token."""
    return "host" in plugin.template_tokens and bool(plugin.host)


def _secrets(url: str, shown: str) -> Iterator[str]:
    """Give every part of an address that is not to be shown, as written and as meant."""
    place, _, query = url.partition("://")[2].partition("?")
    values = (pair.partition("=")[2] for pair in query.split("&"))
    for text in (place, *values):
        for part in (*_PARTS.split(text), *_PARTS.split(unquote(text)), unquote(text)):
            if len(part) >= _SHORTEST_SECRET and part.lower() != shown.lower():
                yield part
