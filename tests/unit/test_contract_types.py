"""The types of the screens are those of the service."""

import pytest
from contract_types import CONTRACT, declarations

from api.app import describe


def declared(**schemas: object) -> str:
    """Return the declarations of these shapes without the heading."""
    return declarations({"components": {"schemas": schemas}}).split("*/\n", 1)[1].strip()


def test_the_screens_have_the_types_of_this_service() -> None:
    written = CONTRACT.read_text(encoding="utf-8")
    assert written == declarations(describe()), "run: python deploy/contract_types.py"


@pytest.mark.parametrize(
    ("schema", "expected"),
    [
        ({"type": "integer"}, "number"),
        ({"type": "string", "format": "date-time"}, "string"),
        ({"enum": ["g", "oz"], "type": "string"}, '"g" | "oz"'),
        ({"const": "closed", "type": "string"}, '"closed"'),
        ({"anyOf": [{"$ref": "#/components/schemas/Pot"}, {"type": "null"}]}, "Pot | null"),
        ({"type": "array", "items": {"anyOf": [{"type": "number"}, {"type": "null"}]}},
         "(number | null)[]"),
        ({"type": "array", "prefixItems": [{"type": "string"}, {"type": "number"}]},
         "[string, number]"),
        ({"type": "object", "additionalProperties": {"type": "integer"}}, "Record<string, number>"),
        ({"type": "object"}, "Record<string, unknown>"),
        ({"title": "Anything"}, "unknown"),
    ],
)  # fmt: skip
def test_a_schema_becomes_its_type(schema: dict[str, object], expected: str) -> None:
    assert declared(Shape=schema) == f"export type Shape = {expected};"


def test_what_need_not_be_there_is_marked_and_what_is_described_is_commented() -> None:
    note = {"type": "string", "description": "What she said."}
    shape = {
        "description": "A word.",
        "properties": {"at": {"type": "string"}, "note": note, "from": {"type": "string"}},
        "required": ["at", "from"],
    }
    assert declared(Word=shape) == (
        "/** A word. */\nexport interface Word {\n  at: string;\n"
        "  /** What she said. */\n  note?: string;\n  from: string;\n}"
    )


def test_a_schema_of_an_unknown_form_is_refused_and_not_guessed() -> None:
    with pytest.raises(ValueError, match="no type is known"):
        declared(Odd={"type": "tuple"})
