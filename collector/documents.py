"""A TOML or JSON document whose complaints name file, line and field.

A `Section` is asked for each key that its reader knows; `done` then refuses the keys that
nobody asked for.
"""

import re
import tomllib
from collections.abc import Collection, Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from types import NoneType, UnionType
from typing import NoReturn

from collector import toml_lines, units
from collector.errors import DocumentError
from collector.recipes import Window
from collector.units import Dimension

_LINE_OF_FAULT = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_MAX_TEXT = 200  # longer than any name or path that a person writes by hand


_SYNTAX = (
    ("Unterminated string", "a text is not closed with a quote"),
    ("Illegal character '\\n'", "a text is not closed with a quote"),
    ('Expected "\'"', "a text is not closed with a quote"),
    ("Unclosed array", "a list is not closed with ]"),
    ("Expected ']' at the end of a table declaration", "a section's name is not closed with ]"),
    ("Expected ']]' at the end of an array declaration", "a section's name is not closed with ]]"),
    ("Expected '=' after a key", "expected a key, then = and its value"),
    ("Cannot overwrite a value", "this key is there already"),
    (
        "Expected newline or end of document",
        "expected nothing more on this line; text needs quotes",
    ),
    ("Unescaped '\\'", "a \\ in a text is written twice, or the text stands in single quotes"),
    ("Invalid value", "expected a value; text needs quotes"),
)
"""What Python's TOML reader says first about the commonest slips, and how a person says it."""


class Section:
    """One table of a document, asked for its keys by name.

    A key without a default must be there. Every method raises DocumentError, with the line
    where the document has lines, if the value is missing or not of its kind.
    """

    def __init__(
        self,
        source: str,
        tree: Mapping[str, object],
        lines: Mapping[toml_lines.Path, int] | None = None,
        path: toml_lines.Path = (),
        entry: str = "",
    ) -> None:
        self.source = source
        self.tree = tree
        self._lines = lines
        self._path = path
        self._entry = entry  # what a person calls the entry of [[name]] that this is
        self._asked: dict[str, None] = {}  # in the order of asking, for the complaint
        self._inner: dict[toml_lines.Path, Section] = {}

    def has(self, name: str) -> bool:
        """Tell whether the key is there; asking allows it."""
        self._asked[name] = None
        return name in self.tree

    def line(self, *names: str | int) -> int | None:
        """Return the line of a key, or of the nearest section around it; None without lines."""
        if self._lines is None:
            return None
        path = (*self._path, *names)
        known = (path[:length] for length in range(len(path), 0, -1))
        return next((self._lines[part] for part in known if part in self._lines), 1)

    def refuse(self, problem: str, *names: str | int) -> NoReturn:
        """Raise DocumentError for a key of this section, or for the section itself."""
        raise self._error(names, problem, self.line(*names))

    def text(self, name: str, default: str | None = None) -> str:
        """Return one line of text, without spaces at its ends."""
        value = self._value(name, default)
        if not isinstance(value, str):
            self.refuse(f"expected text in quotes, not {_described(value)}", name)
        return self._one_line(value, name)

    def texts(self, name: str) -> tuple[str, ...]:
        """Return a list of texts. A complaint does not repeat them: they may be secret."""
        value = self._value(name)
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            self.refuse('expected a list of texts, such as ["one", "two"]', name)
        return tuple(self._one_line(item, name, n) for n, item in enumerate(value))

    def path(self, name: str, folder: Path, default: str | None = None) -> Path:
        """Return a path; a relative one is below `folder`, and ~ is the user's home."""
        written = self.text(name, default)
        try:
            return folder / Path(written).expanduser()
        except RuntimeError:  # what expanduser raises
            self.refuse(f'there is no such home: "{written}"', name)

    def integer(self, name: str, lowest: int, highest: int, default: int | None = None) -> int:
        """Return a whole number from `lowest` to `highest`."""
        value = self._value(name, default)
        if not isinstance(value, int) or isinstance(value, bool) or not lowest <= value <= highest:
            self.refuse(
                f"expected a whole number from {lowest} to {highest}, not {_described(value)}",
                name,
            )
        return value

    def flag(self, name: str) -> bool:
        """Return true or false; a key that is not there is false."""
        value = self.tree[name] if self.has(name) else False
        if not isinstance(value, bool):
            self.refuse(f"expected true or false, without quotes, not {_described(value)}", name)
        return value

    def choice(self, name: str, among: Collection[str], default: str | None = None) -> str:
        """Return a text that is one of `among`."""
        value = self.text(name, default)
        if value not in among:
            listed = ", ".join(f'"{one}"' for one in among)
            self.refuse(f'expected one of {listed}, not "{value}"{near_miss(value, among)}', name)
        return value

    def quantity(self, name: str, dimension: Dimension, default: str | None = None) -> int:
        """Return a quantity such as "220 g" in the dimension's resolution, see `units`."""
        return self._quantity(self._value(name, default), dimension, name)

    def positive(self, name: str, dimension: Dimension, default: str | None = None) -> int:
        """Return a quantity above zero."""
        value = self.quantity(name, dimension, default)
        if value <= 0:
            self.refuse(f"must be more than zero, not {_described(self.tree.get(name))}", name)
        return value

    def window(self, name: str) -> Window:
        """Return a temperature window written as ["80 degC", "85 degC"]."""
        value = self._value(name)
        if not isinstance(value, list) or len(value) != 2:
            self.refuse('expected two temperatures, such as ["80 degC", "85 degC"]', name)
        low, high = (
            self._quantity(end, Dimension.TEMPERATURE, name, n) for n, end in enumerate(value)
        )
        if low >= high:
            self.refuse(f'the window is inverted: "{value[0]}" is not below "{value[1]}"', name)
        return Window(low, high)

    def section(self, name: str) -> "Section":
        """Return the section [name]."""
        return self._section(self._value(name), name)

    def optional_section(self, name: str) -> "Section":
        """Return the section [name]; an empty one where there is none."""
        return self._section(self._value(name, {}), name)

    def sections(self, name: str) -> list["Section"]:
        """Return every entry of [[name]]; none is an empty list."""
        value = self._value(name, [])
        if not isinstance(value, list):
            self.refuse(f"expected entries under [[{name}]], not {_described(value)}", name)
        return [self._section(item, name, n, counted=name) for n, item in enumerate(value)]

    def done(self) -> None:
        """Refuse the first key, here or further in, that nobody asked for."""
        for name in self.tree:
            if name not in self._asked:
                allowed = ", ".join(self._asked) or "none"
                meant = near_miss(name, self._asked)
                self.refuse(f"unknown key; the keys allowed here are: {allowed}{meant}", name)
        for inner in self._inner.values():
            inner.done()

    def _value(self, name: str, default: object = None) -> object:
        if self.has(name):
            return self.tree[name]
        if default is None:
            self._refuse_missing(name)
        return default

    def _refuse_missing(self, name: str) -> NoReturn:
        others = [key for key in self.tree if key not in self._asked]
        # Close, for a key that is asked later is no slip: "load_of" beside a missing "load".
        near = get_close_matches(name, others, n=1, cutoff=0.8)
        if near:
            self.refuse(f'unknown key; did you mean "{name}", which is missing?', near[0])
        raise self._error((name,), f'"{name}" is missing in {self._place()}', self.line())

    def _error(self, names: toml_lines.Path, problem: str, line: int | None) -> DocumentError:
        path = (*self._path, *names)
        if not self._entry:
            return DocumentError(self.source, path, problem, line)
        place = ": ".join(filter(None, [self._entry, ".".join(map(str, names))]))
        return DocumentError(self.source, path, problem, line, place)

    def _place(self) -> str:
        if self._entry:
            return f"this [[{self._path[-2]}]]"
        return f"[{'.'.join(map(str, self._path))}]" if self._path else "the document"

    def _section(self, value: object, *names: str | int, counted: str = "") -> "Section":
        if not isinstance(value, Mapping):
            self.refuse(f"expected a section with keys of its own, not {_described(value)}", *names)
        if names not in self._inner:
            path = (*self._path, *names)
            entry = _title(value, counted) if counted else ""
            self._inner[names] = Section(self.source, value, self._lines, path, entry)
        return self._inner[names]

    def _quantity(self, value: object, dimension: Dimension, *names: str | int) -> int:
        if not isinstance(value, str):
            example = units.example_of(dimension)
            self.refuse(
                f'expected text with a unit, such as "{example}", not {_described(value)}', *names
            )
        try:
            return units.parse(value, dimension)
        except units.UnitError as error:
            self.refuse(str(error), *names)

    def _one_line(self, value: str, *names: str | int) -> str:
        text = value.strip()
        if not text or not text.isprintable() or len(text) > _MAX_TEXT:
            self.refuse(f"expected one line of text, 1 to {_MAX_TEXT} characters long", *names)
        return text


def read_toml(path: Path) -> Section:
    """Return the root of a TOML file; raises DocumentError where it cannot be read or parsed."""
    try:
        return parse_toml(path.read_bytes().decode("utf-8-sig"), str(path))
    except FileNotFoundError:
        raise DocumentError(str(path), (), "there is no such file") from None
    except OSError as error:
        raise DocumentError(str(path), (), f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise DocumentError(str(path), (), "is not UTF-8 text", line) from error


def parse_toml(text: str, source: str) -> Section:
    """Return the root of a TOML text; `source` names it in complaints."""
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(source, text, str(error)) from error
    except ValueError as error:  # a number of more digits than Python reads
        raise DocumentError(source, (), f"not TOML: {error}") from error
    except RecursionError:
        raise DocumentError(source, (), "lists are nested too deeply") from None
    return Section(source, tree, toml_lines.lines_of(text))


def _syntax_error(source: str, text: str, message: str) -> DocumentError:
    found = _LINE_OF_FAULT.search(message)
    line = int(found[1]) if found and found[1] else text.count("\n") + 1
    said = _LINE_OF_FAULT.sub("", message)
    plain = next((words for start, words in _SYNTAX if said.startswith(start)), said)
    return DocumentError(source, (), f"not TOML: {plain}", line)


def near_miss(name: str, among: Collection[str]) -> str:
    """Return "; did you mean …?" where one of `among` is close to the name, else nothing."""
    near = get_close_matches(name, among, n=1)
    return f'; did you mean "{near[0]}"?' if near else ""


def _title(entry: Mapping[str, object], kind: str) -> str:
    """Return what a person calls an entry of [[kind]]: by its name, else by its kind alone."""
    name = entry.get("name")
    if isinstance(name, str) and name.strip() and name.isprintable() and len(name) <= _MAX_TEXT:
        return f'{kind} "{name.strip()}"'
    return f"[[{kind}]]"


_WORDS: tuple[tuple[type | UnionType, str], ...] = (
    (bool, "true or false"),
    (int | float, "the number {}"),
    (str, f'"{{:.{_MAX_TEXT}}}"'),
    (Mapping, "a section"),
    (Sequence, "a list"),
    (NoneType, "nothing"),
    (object, "{}"),
)


def _described(value: object) -> str:
    """Say what a wrong value is, in the words of a person who wrote the file."""
    if isinstance(value, int) and value.bit_length() > 64:
        return "a huge number"  # Python refuses to write out the hugest
    return next(words for kind, words in _WORDS if isinstance(value, kind)).format(value)
