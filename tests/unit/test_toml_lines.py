"""Line numbers held against tomllib: in each text every number is the line on which it stands."""

import tomllib
from collections.abc import Iterator

import pytest

from collector.toml_lines import Path, lines_of

PLAIN = """\
a = 1
# a comment = "with [ brackets"
b = 3  # and one more

[first]
c = 6
  d  =  7
[first.inner]
e = 9
["quoted key"."and.dots"]
'f g' = 11
"h\\u0069" = 12
"""

ARRAYS = """\
[[bench]]
n = 2
[[bench]]
n = 4
[[bench.shelf]]
n = 6
[[bench.shelf]]
n = 8
[bench.shelf.rail]
n = 10
[bench.lamp]
n = 12
[[bench]]
n = 14
[[bench.shelf]]
n = 16
"""

VALUES = '''\
list = [1, 1,
  2, # a comment with ] in it
  [3, [3]],

  5]
inline = { x = 6, y = { z = 6 }, w = [6, { v = 6 }] }
dotted.key.path = 7
text = "a # b ] = \\" c"
after = 9
lines = """
[not.a.section]
x = "1" """
after_lines = 13
quotes = """""two""  """""
after_quotes = 15
raw = \'\'\'
[[nor]] \\ a ' key = 1
\'\'\'
after_raw = 19
short = 'it \\ ends'
after_short = 21
float = 1.5e3
day = 1979-05-27T07:32:00Z
after_day = 24
empty = []
none = {}
after_none = 27
folded = """\\
   one \\
   two"""
last = 31'''

TEXTS = [PLAIN, ARRAYS, VALUES]


def leaves(tree: object, path: Path = ()) -> Iterator[tuple[Path, object]]:
    yield path, tree
    inner: list[tuple[str | int, object]] = []
    if isinstance(tree, dict):
        inner = list(tree.items())
    elif isinstance(tree, list):
        inner = list(enumerate(tree))
    for key, value in inner:
        yield from leaves(value, (*path, key))


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_every_key_stands_on_the_line_that_it_says(text: str, line_end: str) -> None:
    lines = lines_of(text.replace("\n", line_end))
    numbers = [leaf for leaf in leaves(tomllib.loads(text)) if isinstance(leaf[1], int)]
    assert numbers
    assert [(path, lines[path]) for path, _ in numbers] == numbers


@pytest.mark.parametrize("text", TEXTS)
def test_exactly_the_keys_of_the_parser_are_found(text: str) -> None:
    found = {path for path, _ in leaves(tomllib.loads(text))} - {()}
    assert set(lines_of(text)) == found


def test_a_section_stands_on_the_line_of_its_header() -> None:
    lines = lines_of(ARRAYS)
    assert lines["bench", 0] == 1
    assert lines["bench", 1] == 3
    assert lines["bench", 1, "shelf", 1] == 7
    assert lines["bench", 1, "shelf", 1, "rail"] == 9
    assert lines["bench", 2, "shelf", 0] == 15


def test_an_empty_text_has_no_lines() -> None:
    assert lines_of("") == {}
