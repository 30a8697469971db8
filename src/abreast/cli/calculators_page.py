"""The calculators page of the documentation, made from what the calculators say of themselves.

``python -m abreast.cli.calculators_page`` prints it; a test fails when the page on file is stale.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from abreast.cli import output

__all__ = ["calculators_page"]

_HEAD = """\
# Calculators

Made from the program (`python -m abreast.cli.calculators_page`); do not edit by hand.

```sh
abreast calc --list
abreast calc --example drift | abreast calc drift
```

JSON on standard input, JSON on standard output. Field names carry SI units: `length_m`, `load_n`,
`angle_rad`, `temperature_k`. A calculator is the very function that the checks use. *From memory*
behind a source means that the printed page has not been compared.
"""

Schema = dict[str, Any]


def calculators_page() -> str:
    """The whole page as Markdown, one section a calculator, by name."""
    from abreast.actions import calculators

    sections = [
        _section(name, calculators.schema(name), calculators.run(name, calculators.example(name)))
        for name, _ in calculators.names()
    ]
    return "\n".join([_HEAD, *sections])


def _section(name: str, schema: Schema, result: object) -> str:
    text = str(schema["description"])
    return "\n".join(
        [
            f"## {name}\n",
            f"{text[0].upper()}{text[1:]}.\n",
            f"- Formula: {_safe(schema['x-formula'])}",
            f"- Source: {_safe(schema['x-source'])}\n",
            "| input | meaning | needed |",
            "| --- | --- | --- |",
            *(f"| `{field}` | {what} | {needed} |" for field, what, needed in _inputs(schema)),
            "\n| result | meaning |",
            "| --- | --- |",
            *(f"| `{field}` | {what} |" for field, what, _ in _inputs(schema["x-output"])),
            f"\nExample:\n\n```json\n{json.dumps(schema['examples'][0])}\n```\n",
            f"gives\n\n```json\n{json.dumps(_short(result), ensure_ascii=False)}\n```\n",
        ]
    )


def _inputs(schema: Schema) -> Iterator[tuple[str, str, str]]:
    """Name, meaning and need of each field; those of listed objects follow with their list."""
    yield from _fields(schema, schema.get("$defs", {}), "")


def _fields(part: Schema, parts: Schema, before: str) -> Iterator[tuple[str, str, str]]:
    for name, field in part["properties"].items():
        kind, mark = _kind(field, parts)
        needed = "yes" if name in part.get("required", []) else _default(field)
        yield f"{before}{name}{mark}", _meaning(field, kind), needed
        if "properties" in kind:
            yield from _fields(kind, parts, f"{before}{name}{mark}.")


def _kind(field: Schema, parts: Schema) -> tuple[Schema, str]:
    """What a field holds, without null, list and reference around it; ``[]`` marks a list."""
    field = next((one for one in field.get("anyOf", []) if one.get("type") != "null"), field)
    mark = "[]" if "items" in field else ""
    field = field.get("items", field)
    reference = str(field.get("$ref", "")).rpartition("/")[2]
    return parts.get(reference, field), mark


def _meaning(field: Schema, kind: Schema) -> str:
    words = [str(field.get("description", "")).strip()]
    if len(kind.get("enum", [])) in range(1, 9):  # `--schema NAME` shows longer lists
        words.append("one of " + ", ".join(f"`{value}`" for value in kind["enum"]))
    return _safe("; ".join(word for word in words if word))


def _default(field: Schema) -> str:
    default = field.get("default")
    return "no" if default is None else f"no, {json.dumps(default)}"


def _short(value: Any) -> Any:
    """The same data with six figures a number: the last bits may differ between machines."""
    if isinstance(value, float):
        return float(f"{value:.6g}")
    if isinstance(value, dict):
        return {key: _short(part) for key, part in value.items()}
    return [_short(part) for part in value] if isinstance(value, list) else value


def _safe(text: str) -> str:
    """Text for a table cell or a list line of Markdown."""
    return text.replace("|", "\\|").replace("*", "\\*").replace("\n", " ")


if __name__ == "__main__":
    output.print_text(calculators_page())
