"""Who is told of alarms beyond the room: the section [notices] of workshop.toml."""

import re
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import NoReturn
from zoneinfo import ZoneInfo

import msgspec

from collector.documents import Section
from collector.errors import NoticeError
from collector.messenger import Messenger
from collector.notice_rules import NoticeRules
from collector.priorities import Priority
from collector.quiet_hours import DailyTime, QuietHours
from collector.units import Dimension

MOST_TARGETS = 20
"""Each has a queue and a thread of its own."""

MOST_FOLD_US = 600_000_000
LEAST_REPEAT_US = 60_000_000

OPEN_FILE = "every user of this machine can read these addresses: chmod 600 keeps them secret"
"""What is said of a file of addresses that is open to all."""

_DAILY = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")


class NoticesConfig(msgspec.Struct, frozen=True, kw_only=True):
    """Where notices go, and which. `urls` are secret: nothing shows them.

    `open_file` is the file of the urls where every user of this machine can read it.
    """

    urls: tuple[str, ...]
    rules: NoticeRules
    open_file: Path | None = None

    def __repr__(self) -> str:
        """Leave the urls out: this ends up in logs."""
        return f"NoticesConfig({len(self.urls)} targets, {self.rules!r})"


def read_notices(
    root: Section, timezone: str, folder: Path, *, collects: bool
) -> NoticesConfig | None:
    """Return the section [notices], None where there is none; paths are relative to `folder`.

    `collects` says that the program only collects and forwards. Raises DocumentError. A complaint
    never repeats an address.
    """
    if not root.has("notices"):
        return None
    section = root.section("notices")
    if collects:
        section.refuse("pourkeep collect judges nothing, so it has no alarms to tell: see the hub")
    file = section.path("to_file", folder) if section.has("to_file") else None
    return NoticesConfig(
        urls=_urls(section, file),
        rules=_rules(section, ZoneInfo(timezone)),
        open_file=file if file is not None and file.stat().st_mode & stat.S_IROTH else None,
    )


def _rules(section: Section, zone: ZoneInfo) -> NoticeRules:
    usual = NoticeRules(zone=zone)
    through = section.choice("quiet_lets_through", ("high", "nothing"), "high")
    return NoticeRules(
        zone=zone,
        from_priority=Priority(
            section.choice("from_priority", tuple(Priority), usual.from_priority)
        ),
        fold_us=_fold_us(section, usual.fold_us),
        repeat_us=_repeat_us(section),
        quiet=_quiet(section),
        high_passes=through == "high",
        test_at=_test_at(section, usual.test_at),
    )


def _fold_us(section: Section, usual_us: int) -> int:
    fold_us = section.quantity("fold", Dimension.DURATION, f"{usual_us} us")
    if not 0 <= fold_us <= MOST_FOLD_US:
        section.refuse('expected at most "10 min": an alarm is told no sooner', "fold")
    return fold_us


def _repeat_us(section: Section) -> int | None:
    if not section.has("repeat") or section.tree["repeat"] == "off":
        return None
    repeat_us = section.quantity("repeat", Dimension.DURATION)
    if repeat_us < LEAST_REPEAT_US:
        section.refuse('expected "off" or at least "1 min"', "repeat")
    return repeat_us


def _quiet(section: Section) -> QuietHours | None:
    if not section.has("quiet") or section.tree["quiet"] == "off":
        return None
    if not isinstance(section.tree["quiet"], list) or len(section.tree["quiet"]) != 2:
        section.refuse(
            'expected two times of the day, such as ["22:00", "07:00"], or "off"', "quiet"
        )
    begin, end = (
        _daily(section, text, "quiet", n) for n, text in enumerate(section.texts("quiet"))
    )
    if begin == end:
        section.refuse('both times are the same; for no quiet hours write "off"', "quiet")
    return QuietHours(begin, end)


def _test_at(section: Section, usual: DailyTime | None) -> DailyTime | None:
    if not section.has("test_at"):
        return usual
    if section.tree["test_at"] == "off":
        return None
    return _daily(section, section.text("test_at"), "test_at")


def _daily(section: Section, text: str, *names: str | int) -> DailyTime:
    found = _DAILY.fullmatch(text)
    if found is None:
        section.refuse(f'expected a time of the day such as "22:00", not "{text}"', *names)
    return DailyTime(int(found[1]) * 60 + int(found[2]))


# ------------------------------------------------------------ addresses


def _urls(section: Section, file: Path | None) -> tuple[str, ...]:
    urls = [*_listed(section), *(_filed(section, file) if file is not None else ())]
    if not urls:
        section.refuse('expected addresses in "to" or a file of them in "to_file"')
    if len(urls) > MOST_TARGETS:
        section.refuse(f"expected at most {MOST_TARGETS} addresses, not {len(urls)}")
    return tuple(urls)


def _listed(section: Section) -> Iterable[str]:
    if not section.has("to"):
        return
    listed = section.tree["to"]
    # Not `texts`: an address may be longer than any name.
    if not isinstance(listed, list) or not all(isinstance(url, str) for url in listed):
        section.refuse('expected a list of addresses, such as ["mailto://…", "json://…"]', "to")
    for n, url in enumerate(listed):
        _check(section, url.strip(), f"address {n + 1}", "to", n)
        yield url.strip()


def _filed(section: Section, file: Path) -> Iterable[str]:
    """Give one address a line; blank lines and those that begin with # do not count."""
    try:
        lines = file.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        section.refuse(f"{file} cannot be read: {error}", "to_file")
    for n, line in enumerate(lines, 1):
        url = line.strip()
        if url and not url.startswith("#"):
            _check(section, url, f"line {n} of {file}", "to_file")
            yield url


def _check(section: Section, url: str, which: str, *names: str | int) -> None:
    try:
        Messenger(url)
    except NoticeError as error:
        _refuse(section, which, error, *names)


def _refuse(section: Section, which: str, error: NoticeError, *names: str | int) -> NoReturn:
    """Refuse an address without repeating it: complaints end up in logs."""
    section.refuse(f"{which}: {error.message}", *names)
