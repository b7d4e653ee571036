"""The types of the screens, made from what the service says of its JSON (OpenAPI 3.1).

`python deploy/contract_types.py` writes dashboards/src/contract.ts afresh; a test holds the file
against the service, so a changed shape cannot be forgotten.
"""

import json
import textwrap
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

Schema = Mapping[str, Any]

CONTRACT = Path(__file__).resolve().parent.parent / "dashboards" / "src" / "contract.ts"
HEADING = """\
/**
 * The JSON of the service, by the names of its shapes.
 * Made by deploy/contract_types.py from the service's own description: not to be changed by hand.
 */
"""
WIDTH = 100

_PLAIN = {
    "string": "string",
    "number": "number",
    "integer": "number",
    "boolean": "boolean",
    "null": "null",
}


def declarations(document: Schema) -> str:
    """Return TypeScript that declares every named shape of an OpenAPI document.

    Raises ValueError for a schema of a form that is not known here.
    """
    shapes: Mapping[str, Schema] = document["components"]["schemas"]
    return "\n".join([HEADING, *(_declaration(name, shapes[name]) for name in sorted(shapes))])


def _declaration(name: str, schema: Schema) -> str:
    comment = _comment(schema.get("description"), "")
    if "properties" not in schema:
        return f"{comment}export type {name} = {_type(schema)};\n"
    required = frozenset(schema.get("required", ()))
    fields = [
        _comment(field.get("description"), "  ")
        + f"  {_key(key)}{'' if key in required else '?'}: {_type(field)};\n"
        for key, field in schema["properties"].items()
    ]
    if schema.get("additionalProperties") is True:
        fields.append("  [further: string]: unknown;\n")
    return f"{comment}export interface {name} {{\n{''.join(fields)}}}\n"


def _type(schema: Schema) -> str:
    """Return the type of a value."""
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return _union([json.dumps(value) for value in schema["enum"]])
    for key in ("anyOf", "oneOf"):
        if key in schema:
            return _union([_type(part) for part in schema[key]])
    return _structured(schema)


def _structured(schema: Schema) -> str:
    kind = schema.get("type")
    if kind == "array":
        return _array(schema)
    if kind == "object":
        inside = schema.get("additionalProperties", True)
        return f"Record<string, {_type(inside) if isinstance(inside, Mapping) else 'unknown'}>"
    if kind in _PLAIN:
        return _PLAIN[kind]
    if not set(schema) - {"title", "description", "default"}:
        return "unknown"
    raise ValueError(f"no type is known for the schema {json.dumps(schema)}")


def _array(schema: Schema) -> str:
    if "prefixItems" in schema:
        return f"[{', '.join(_type(item) for item in schema['prefixItems'])}]"
    item = _type(schema.get("items", {}))
    return f"({item})[]" if "|" in item else f"{item}[]"


def _union(types: Sequence[str]) -> str:
    return " | ".join(dict.fromkeys(types))


def _key(name: str) -> str:
    return name if name.isidentifier() else json.dumps(name)


def _comment(text: str | None, indent: str) -> str:
    if not text:
        return ""
    words = " ".join(text.split()).replace("*/", "* /")
    lines = textwrap.wrap(words, WIDTH - len(indent) - len("/**  */"))
    if len(lines) == 1:
        return f"{indent}/** {lines[0]} */\n"
    body = "".join(f"{indent} * {line}\n" for line in lines)
    return f"{indent}/**\n{body}{indent} */\n"


def main() -> None:
    """Write the file."""
    from api.app import describe  # noqa: PLC0415 - the pure part is used without the service

    CONTRACT.write_text(declarations(describe()), encoding="utf-8")


if __name__ == "__main__":
    main()
