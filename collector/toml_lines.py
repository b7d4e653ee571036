"""On which line of a TOML text each key stands; the standard parser keeps no lines.

Only for text that the parser has already accepted: nothing is checked here again.
"""

import re
import tomllib
from collections.abc import Mapping

import msgspec

Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r"""
      (?P<blank>  [ \t\r]+ | \#[^\n]* )
    | (?P<end>    \n )
    | (?P<string> \"{3} (?: \\. | [^\\] )*? \"{3,5}   # the last two quotes may be content
                | '{3} .*? '{3,5}
                | \"  (?: \\. | [^\"\\] )* \"
                | '   [^']* ' )
    | (?P<mark>   [\[\]{}=,.] )
    | (?P<bare>   [^\s\[\]{}=,.\#\"']+ )
    """,
    re.VERBOSE | re.DOTALL,
)


class _Token(msgspec.Struct, frozen=True):
    kind: str
    text: str
    line: int


_AFTER_THE_LAST = _Token("end", "\n", 0)


def lines_of(text: str) -> dict[Path, int]:
    """Return the line, from 1, of each section, key, and list entry by its path of keys."""
    return _Walk(_tokens(text)).lines


def _tokens(text: str) -> list[_Token]:
    tokens, line = [], 1
    for found in _TOKEN.finditer(text):
        kind, piece = str(found.lastgroup), found.group()
        if kind != "blank":
            tokens.append(_Token(kind, piece, line))
        line += piece.count("\n")
    return tokens


class _Walk:
    """One pass over the tokens; `lines` is its result."""

    def __init__(self, tokens: list[_Token]) -> None:
        self.lines: dict[Path, int] = {}
        self._entries: dict[Path, int] = {}  # how many [[name]] each array has so far
        self._tokens = tokens
        self._at = 0
        self._section: Path = ()
        while self._at < len(self._tokens):
            self._statement()

    @property
    def _now(self) -> _Token:
        return self._tokens[self._at] if self._at < len(self._tokens) else _AFTER_THE_LAST

    def _take(self) -> _Token:
        token = self._now
        self._at += 1
        return token

    def _statement(self) -> None:
        if self._now.kind == "end":
            self._take()
        elif self._now.text == "[":
            self._header()
        else:
            self._pair(self._section)

    def _header(self) -> None:
        line = self._take().line
        if self._now.text == "[":
            self._take()
            self._section = self._next_entry(self._within_arrays(self._keys()))
        else:
            self._section = self._within_arrays(self._keys())
        while self._now.text == "]":
            self._take()
        self._note(self._section, line)

    def _within_arrays(self, keys: Path) -> Path:
        """Return the path that a header means: inside the last entry of each array it names."""
        path: Path = ()
        for key in keys:
            if path in self._entries:
                path = (*path, self._entries[path] - 1)
            path = (*path, key)
        return path

    def _next_entry(self, path: Path) -> Path:
        count = self._entries.get(path, 0)
        self._entries[path] = count + 1
        return (*path, count)

    def _keys(self) -> Path:
        keys = [_key(self._take())]
        while self._now.text == ".":
            self._take()
            keys.append(_key(self._take()))
        return tuple(keys)

    def _pair(self, within: Path) -> None:
        line = self._now.line
        path = (*within, *self._keys())
        self._note(path, line)
        self._take()  # the equals sign
        self._value(path)

    def _value(self, path: Path) -> None:
        opening = self._now.text
        if opening == "[":
            self._list(path)
        elif opening == "{":
            self._inline_section(path)
        else:
            while self._now.kind != "end" and self._now.text not in {",", "]", "}"}:
                self._take()

    def _list(self, path: Path) -> None:
        self._take()
        count = 0
        while self._skip_to_item().text != "]":
            self._note((*path, count), self._now.line)
            self._value((*path, count))
            count += 1
        self._take()

    def _inline_section(self, path: Path) -> None:
        self._take()
        while self._skip_to_item().text != "}":
            self._pair(path)
        self._take()

    def _skip_to_item(self) -> _Token:
        while self._at < len(self._tokens) and (self._now.kind == "end" or self._now.text == ","):
            self._take()
        return self._now

    def _note(self, path: Path, line: int) -> None:
        for length in range(1, len(path) + 1):
            self.lines.setdefault(path[:length], line)


def _key(token: _Token) -> str:
    if token.kind != "string":
        return token.text
    document: Mapping[str, str] = tomllib.loads(f"key = {token.text}")
    return document["key"]
