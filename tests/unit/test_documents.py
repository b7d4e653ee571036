from collections.abc import Callable
from pathlib import Path

import pytest

from collector.documents import Section, parse_toml, read_toml
from collector.errors import DocumentError
from collector.recipes import Window
from collector.units import Dimension

TEXT = """\
name = "  Quay  "
count = 3
list = ["a", "b"]
mixed = ["a", 4]
fill = "220 g"
bare = 220
nothing = "0 g"
warm = ["80 degC", "185 °F"]
inverted = ["85 degC", "80 degC"]
lone = ["80 degC"]
cold = [
    "80 degC",
    "85 g",
]
blank = "  "
torn = "two\\nlines"
yes = true
day = 2024-05-01

[inner]
deep = "x"

[[bench]]
name = "east"
[[bench]]
name = 26
"""


def document() -> Section:
    return parse_toml(TEXT, "quay.toml")


def complaint(read: Callable[[], object]) -> str:
    with pytest.raises(DocumentError) as refused:
        read()
    return refused.value.message


def test_values_are_read_by_name() -> None:
    root = document()
    assert root.text("name") == "Quay"
    assert root.integer("count", 1, 5) == 3
    assert root.texts("list") == ("a", "b")
    assert root.quantity("fill", Dimension.MASS) == 220_000
    assert root.choice("name", ["Quay", "Pier"]) == "Quay"
    assert root.window("warm") == Window(80_000, 85_000)
    assert root.section("inner").text("deep") == "x"
    assert [bench.line() for bench in root.sections("bench")] == [23, 25]


def test_a_key_that_is_not_there_has_its_default() -> None:
    root = document()
    assert root.text("motto", "none") == "none"
    assert root.integer("size", 1, 5, 2) == 2
    assert root.choice("way", ["in", "out"], "out") == "out"
    assert root.quantity("residue", Dimension.MASS, "6 g") == 6_000
    assert root.sections("shelf") == []
    assert root.optional_section("attic").text("deep", "y") == "y"


@pytest.mark.parametrize(
    ("read", "message"),
    [
        (
            lambda root: root.text("count"),
            "quay.toml:2: count: expected text in quotes, not the number 3",
        ),
        (
            lambda root: root.text("yes"),
            "quay.toml:17: yes: expected text in quotes, not true or false",
        ),
        (
            lambda root: root.text("day"),
            "quay.toml:18: day: expected text in quotes, not 2024-05-01",
        ),
        (
            lambda root: root.text("blank"),
            "quay.toml:15: blank: expected one line of text, 1 to 200 characters long",
        ),
        (
            lambda root: root.text("torn"),
            "quay.toml:16: torn: expected one line of text, 1 to 200 characters long",
        ),
        (
            lambda root: root.texts("mixed"),
            'quay.toml:4: mixed: expected a list of texts, such as ["one", "two"]',
        ),
        (
            lambda root: root.integer("count", 4, 9),
            "quay.toml:2: count: expected a whole number from 4 to 9, not the number 3",
        ),
        (
            lambda root: root.integer("yes", 0, 9),
            "quay.toml:17: yes: expected a whole number from 0 to 9, not true or false",
        ),
        (
            lambda root: root.integer("name", 0, 9),
            'quay.toml:1: name: expected a whole number from 0 to 9, not "  Quay  "',
        ),
        (
            lambda root: root.choice("name", ["Key", "Quai"]),
            'quay.toml:1: name: expected one of "Key", "Quai", not "Quay"; did you mean "Quai"?',
        ),
        (
            lambda root: root.quantity("bare", Dimension.MASS),
            'quay.toml:6: bare: expected text with a unit, such as "220 g", not the number 220',
        ),
        (
            lambda root: root.quantity("fill", Dimension.TEMPERATURE),
            'quay.toml:5: fill: "g" measures a mass; expected a temperature, such as "80 degC"',
        ),
        (
            lambda root: root.positive("nothing", Dimension.MASS),
            'quay.toml:7: nothing: must be more than zero, not "0 g"',
        ),
        (
            lambda root: root.window("inverted"),
            'quay.toml:9: inverted: the window is inverted: "85 degC" is not below "80 degC"',
        ),
        (
            lambda root: root.window("lone"),
            'quay.toml:10: lone: expected two temperatures, such as ["80 degC", "85 degC"]',
        ),
        (
            lambda root: root.window("cold"),
            'quay.toml:13: cold.1: "g" measures a mass; expected a temperature, such as "80 degC"',
        ),
        (
            lambda root: root.section("list"),
            "quay.toml:3: list: expected a section with keys of its own, not a list",
        ),
        (
            lambda root: root.sections("inner"),
            "quay.toml:20: inner: expected entries under [[inner]], not a section",
        ),
        (
            lambda root: [bench.text("name") for bench in root.sections("bench")],
            "quay.toml:26: [[bench]]: name: expected text in quotes, not the number 26",
        ),
        (lambda root: root.text("motto"), 'quay.toml:1: motto: "motto" is missing in the document'),
        (
            lambda root: root.section("inner").text("far"),
            'quay.toml:20: inner.far: "far" is missing in [inner]',
        ),
        (
            lambda root: root.text("namee"),
            'quay.toml:1: name: unknown key; did you mean "namee", which is missing?',
        ),
    ],
)
def test_a_complaint_names_file_line_field_and_what_was_expected(
    read: Callable[[Section], object], message: str
) -> None:
    assert complaint(lambda: read(document())) == message


def test_a_key_nobody_asked_for_is_refused_with_those_allowed() -> None:
    root = parse_toml('name = "x"\n\nnamee = "y"\n', "quay.toml")
    root.text("name")
    root.has("motto")
    assert complaint(root.done) == (
        "quay.toml:3: namee: unknown key; the keys allowed here are: name, motto;"
        ' did you mean "name"?'
    )


def test_a_key_nobody_asked_for_is_refused_in_a_section_within() -> None:
    root = parse_toml("[inner]\n\n[inner.most]\ndeep = 1\n", "quay.toml")
    root.section("inner").section("most")
    assert complaint(root.done) == (
        "quay.toml:4: inner.most.deep: unknown key; the keys allowed here are: none"
    )


def test_a_section_asked_for_twice_is_one_section() -> None:
    root = parse_toml('[inner]\nname = "x"\n', "quay.toml")
    root.section("inner").text("name")
    root.optional_section("inner")
    root.done()


def test_a_json_document_has_fields_but_no_lines() -> None:
    root = Section("the recipe", {"vessel": {"fill": 220, "note": None}})
    vessel = root.section("vessel")
    with pytest.raises(DocumentError) as refused:
        vessel.quantity("fill", Dimension.MASS)
    assert refused.value.line is None
    assert refused.value.field == ("vessel", "fill")
    assert refused.value.message == (
        'the recipe: vessel.fill: expected text with a unit, such as "220 g", not the number 220'
    )
    assert complaint(lambda: vessel.text("note")) == (
        "the recipe: vessel.note: expected text in quotes, not nothing"
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a = 1\nb = \n", "quay.toml:2: not TOML: expected a value; text needs quotes"),
        ("a = 1\na = 2\n", "quay.toml:2: not TOML: this key is there already"),
        ('a = 1\n\nb = "open', "quay.toml:3: not TOML: a text is not closed with a quote"),
        ('a = 1\nb = "open\nc = 2', "quay.toml:2: not TOML: a text is not closed with a quote"),
        ("a = 'open\n", "quay.toml:2: not TOML: a text is not closed with a quote"),
        ("[wax\n", "quay.toml:1: not TOML: a section's name is not closed with ]"),
        ("[[wax]\n", "quay.toml:1: not TOML: a section's name is not closed with ]]"),
        ("a: 1\n", "quay.toml:1: not TOML: expected a key, then = and its value"),
        ("a = 220 g\n", "quay.toml:1: not TOML: expected nothing more on this line; text needs"),
        ('a = "C:\\dev"\n', "quay.toml:1: not TOML: a \\ in a text is written twice, or"),
        ("= 3\n", "quay.toml:1: not TOML: Invalid statement"),
        (f"a = {'1' * 5000}\n", "quay.toml: not TOML: Exceeds the limit"),
        (f"a = {'[' * 5000}\n", "quay.toml: lists are nested too deeply"),
    ],
)
def test_a_text_that_is_not_toml_is_refused_with_its_line(text: str, message: str) -> None:
    assert complaint(lambda: parse_toml(text, "quay.toml")).startswith(message)


def test_a_number_too_huge_to_write_out_is_refused_in_words() -> None:
    root = parse_toml(f"port = 0x{'f' * 5000}\n", "quay.toml")
    assert complaint(lambda: root.integer("port", 0, 9)) == (
        "quay.toml:1: port: expected a whole number from 0 to 9, not a huge number"
    )


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    missing = tmp_path / "none.toml"
    assert complaint(lambda: read_toml(missing)) == f"{missing}: there is no such file"


def test_a_folder_cannot_be_read_as_a_file(tmp_path: Path) -> None:
    assert complaint(lambda: read_toml(tmp_path)) == f"{tmp_path}: cannot be read: Is a directory"


def test_a_file_in_another_encoding_is_refused_with_the_line(tmp_path: Path) -> None:
    file = tmp_path / "latin.toml"
    file.write_bytes('a = 1\nname = "Café"\n'.encode("latin-1"))
    assert complaint(lambda: read_toml(file)) == f"{file}:2: is not UTF-8 text"


def test_a_byte_order_mark_does_not_matter(tmp_path: Path) -> None:
    file = tmp_path / "marked.toml"
    file.write_bytes('name = "Quay"\n'.encode("utf-8-sig"))
    assert read_toml(file).text("name") == "Quay"
