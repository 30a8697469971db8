"""Ways to spoil an input: bytes, text, tables, keys, JSON trees and packed workbooks.

Every function takes a random generator first, so that a run can be repeated.
"""

from __future__ import annotations

import csv
import io
import random
import re
import zipfile
from collections.abc import Callable
from typing import Any

__all__ = [
    "NASTY_TEXTS",
    "NASTY_VALUES",
    "spoil_bytes",
    "spoil_csv",
    "spoil_package",
    "spoil_text",
    "spoil_toml",
    "spoil_tree",
]

NASTY_TEXTS = (
    "",
    " ",
    "0",
    "-0",
    "-1",
    "1e30",
    "1e31 ft",
    "1e999",
    "-1e400 m",
    "9" * 400,
    "9" * 5000,
    "0." + "0" * 300 + "1",
    "NaN",
    "inf",
    "-Infinity",
    "1/0",
    "1/0 in",
    "31-05",
    "31.5.2",
    "1,2,3",
    "1,234",
    "31 ft 13 in",
    "31'5''",
    "31' 5 1/16\"",
    "0x1F",
    "１２.5 ft",
    "½ in",
    "−5 ft",
    "=1+1",
    "=HYPERLINK(A1)",
    "@SUM(A1:A9)",
    "+cmd|' /C calc'!A0",
    "'=1+1",
    "''",
    "'",
    '"',
    '""',
    "\\",
    "\x00",
    "\x1b[31m",
    "\r",
    "a\nb",
    "\ufeff",
    "\u202e gnirts",
    "\ud800",
    "\U0001f980" * 3,
    "é" * 3000,
    "not measured",
    "not measured: broken",
    "n/a",
    "n/a: none",
    "31.4 ft @",
    "31.4 ft @ nowhere",
    "31.4 ft @ measured by " + "x" * 500,
    "@ sheet",
    "yes",
    "no",
    "true",
    "2024-02-30",
    "0000-00-00",
    "SF pin",
    "pin",
    "SF  box",
    "A; B; A; ;",
    "../../etc/passwd",
    "/etc/passwd",
    "C:\\windows\\win.ini",
    "..",
    ".",
    "rack.csv",
    "job.toml",
    "%s%n%x",
    "{0.__class__}",
    "${HOME}",
    "<script>alert(1)</script>",
    "'; DROP TABLE rack; --",
)
NASTY_VALUES: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    -1,
    1,
    2**31,
    2**63,
    -(2**64),
    10**30,
    10**400,
    1.5,
    -0.0,
    1e-320,
    1e12,
    1e308,
    -1e308,
    float("inf"),
    float("-inf"),
    float("nan"),
    "",
    "1",
    "x" * 5000,
    "\x00",
    "\ud800",
    [],
    [[]],
    {},
    {"": None},
    [1, 2, 3],
)
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


def spoil_bytes(rng: random.Random, data: bytes) -> bytes:
    """Bytes flipped, cut off, doubled or replaced by noise."""
    way = rng.randrange(6)
    if way == 0 or not data:
        return rng.randbytes(rng.randrange(2000))
    if way == 1:
        return data[: rng.randrange(len(data) + 1)]
    if way == 2:
        at = rng.randrange(len(data))
        return data[:at] + rng.randbytes(rng.randrange(1, 40)) + data[at:]
    if way == 3:
        a, b = sorted(rng.randrange(len(data)) for _ in range(2))
        return data[:a] + data[b:]
    if way == 4:
        return data + data
    spoilt = bytearray(data)
    for _ in range(rng.randrange(1, 12)):
        spoilt[rng.randrange(len(spoilt))] ^= 1 << rng.randrange(8)
    return bytes(spoilt)


def spoil_text(rng: random.Random, text: str) -> str:
    """Numbers and lines replaced, dropped, doubled or changed about."""
    way = rng.randrange(4)
    numbers = list(_NUMBER.finditer(text))
    if way == 0 and numbers:
        found = rng.choice(numbers)
        return text[: found.start()] + rng.choice(NASTY_TEXTS) + text[found.end() :]
    lines = text.splitlines(keepends=True)
    if len(lines) < 2:
        return text + rng.choice(NASTY_TEXTS)
    a, b = rng.randrange(len(lines)), rng.randrange(len(lines))
    if way == 1:
        lines[a], lines[b] = lines[b], lines[a]
    elif way == 2:
        del lines[a]
    else:
        lines.insert(a, lines[b])
    return "".join(lines)


def _rows(text: str) -> list[list[str]]:
    try:
        return [row for row in csv.reader(io.StringIO(text, newline="")) if row]
    except csv.Error:
        return []


def _swap_cells(rng: random.Random, rows: list[list[str]]) -> None:
    one, other = rng.choice(rows), rng.choice(rows)
    a, b = rng.randrange(len(one)), rng.randrange(len(other))
    one[a], other[b] = other[b], one[a]


def _put_nasty(rng: random.Random, rows: list[list[str]]) -> None:
    row = rng.choice(rows)
    row[rng.randrange(len(row))] = rng.choice(NASTY_TEXTS)


def _drop_column(rng: random.Random, rows: list[list[str]]) -> None:
    at = rng.randrange(len(rows[0]))
    for row in rows:
        del row[at : at + 1]


def _copy_cell(rng: random.Random, rows: list[list[str]]) -> None:
    """Copy a cell along its own column: ids twice, references in a circle."""
    column = rng.randrange(len(rows[0]))
    source = rng.choice(rows)
    target = rng.choice(rows)
    if column < len(source) and column < len(target):
        target[column] = source[column]


def _close_circle(rng: random.Random, rows: list[list[str]]) -> None:
    """Make rows name one another, or themselves, where a column names a row."""
    names = [n for n, head in enumerate(rows[0]) if head in ("spare_of", "piece", "pieces")]
    if not names or "id" not in rows[0]:
        return
    at, own = rng.choice(names), rows[0].index("id")
    for row, other in zip(rows[1:], rows[2:] + rows[1:2], strict=False):
        if max(at, own) < min(len(row), len(other)) and rng.random() < 0.5:
            row[at] = other[own]


def _spoil_heading(rng: random.Random, rows: list[list[str]]) -> None:
    at = rng.randrange(len(rows[0]))
    units = ("[m]", "[ft]", "[kg]", "[]", "[[", "[furlong]", "[N*m]", " [%]", "[mm")
    name = rows[0][at].split("[")[0]
    rows[0][at] = rng.choice((name + rng.choice(units), name[:-1], name.upper(), "x" * 300, ""))


def _many_rows(rng: random.Random, rows: list[list[str]]) -> None:
    rows.extend([list(rng.choice(rows)) for _ in range(rng.choice((60, 6000)))])


def _shuffle_rows(rng: random.Random, rows: list[list[str]]) -> None:
    rng.shuffle(rows)


def _reverse_rows(rng: random.Random, rows: list[list[str]]) -> None:
    rows[1:] = reversed(rows[1:])


def _wide_row(rng: random.Random, rows: list[list[str]]) -> None:
    rng.choice(rows).extend(rng.choice(NASTY_TEXTS) for _ in range(rng.choice((1, 3, 400))))


_TABLE_WAYS: tuple[Callable[[random.Random, list[list[str]]], None], ...] = (
    _swap_cells,
    _put_nasty,
    _put_nasty,
    _put_nasty,
    _drop_column,
    _copy_cell,
    _close_circle,
    _spoil_heading,
    _many_rows,
    _shuffle_rows,
    _reverse_rows,
    _wide_row,
)


def spoil_csv(rng: random.Random, text: str) -> str:
    """A table with cells, rows, columns or its heading spoilt."""
    rows = _rows(text)
    if not rows or not rows[0] or rng.random() < 0.1:
        return spoil_text(rng, text)
    rng.choice(_TABLE_WAYS)(rng, rows)
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator=rng.choice(("\n", "\r\n"))).writerows(rows)
    return out.getvalue()


def spoil_toml(rng: random.Random, text: str) -> str:
    """Keys of ``job.toml`` spoilt, nested without end, or given odd values."""
    way = rng.randrange(8)
    deep = rng.choice((10, 200, 20_000))
    extra = (
        "x = " + "[" * deep + "]" * deep,
        "x = " + "{a=" * deep + "1" + "}" * deep,
        "x" + ".x" * deep + " = 1",
        "x = " + "9" * 5000,
        "x = 1e999",
        "x = nan",
        "x = 1979-05-27T07:32:00Z",
        'x = """\n' + "y" * 3000 + '\n"""',
        "[" + "a." * deep + "b]",
        "[[rules]]\nx = 1",
        "[rules]\nx = 1",
        f"name = {rng.choice(('[1, 2]', '{a = 1}', 'true', '12', '1.5', '07:32:00'))}",
    )
    if way < 2:
        return rng.choice(extra) + "\n" + text
    if way == 2:
        return text + "\n" + rng.choice(extra) + "\n"
    if way == 3:
        return spoil_text(rng, text)
    values = list(re.finditer(r'"([^"\n]*)"', text))
    if not values:
        return spoil_text(rng, text)
    found = rng.choice(values)
    nasty = rng.choice(NASTY_TEXTS).replace("\\", "\\\\").replace('"', '\\"')
    if way == 4:
        nasty = rng.choice(values)[1]
    return text[: found.start(1)] + nasty + text[found.end(1) :]


def _spots(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place inside plain data, as the steps that lead to it."""
    items: list[tuple[Any, Any]] = []
    if isinstance(data, dict):
        items = list(data.items())
    elif isinstance(data, list):
        items = list(enumerate(data))
    found = []
    for key, value in items:
        found.append((*path, key))
        found.extend(_spots(value, (*path, key)))
    return found


def _copied(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(value) for value in data] if isinstance(data, list) else data


def spoil_tree(rng: random.Random, data: Any) -> Any:
    """Plain data with values replaced, dropped, copied about or nested."""
    data = _copied(data)
    for _ in range(rng.choice((1, 1, 2, 5))):
        spots = _spots(data)
        if not spots:
            return rng.choice(NASTY_VALUES)
        _spoil_spot(rng, data, rng.choice(spots), spots)
    return data


def _spoil_spot(rng: random.Random, data: Any, spot: tuple[Any, ...], spots: list[Any]) -> None:
    inner = _at(data, spot[:-1])
    key = spot[-1]
    way = rng.randrange(7)
    if way == 0:
        del inner[key]
    elif way == 1:
        inner[key] = _copied(_at(data, rng.choice(spots)))
    elif way == 2 and isinstance(inner[key], list) and inner[key]:
        inner[key].extend(_copied(rng.choice(inner[key])) for _ in range(rng.choice((1, 3, 300))))
    elif way == 3 and isinstance(inner, dict):
        inner[str(key)[:-1] + rng.choice("xz_")] = inner.pop(key)
    elif way == 4 and isinstance(inner[key], (int, float)) and not isinstance(inner[key], bool):
        inner[key] = inner[key] * rng.choice((-1, 0, 10, 1000, 10**6)) + rng.choice((0, 1, -1))
    else:
        inner[key] = _copied(rng.choice(NASTY_VALUES))


def _at(data: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        data = data[key]
    return data


_BILLION = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    b'<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
)


def spoil_package(rng: random.Random, packed: bytes) -> bytes:
    """A workbook spoilt as a file, as a package of parts, or inside a part."""
    if rng.random() < 0.15:
        return spoil_bytes(rng, packed)
    with zipfile.ZipFile(io.BytesIO(packed)) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    rng.choice((_spoil_part, _spoil_part, _spoil_part, _spoil_parts))(rng, parts)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as target:
        for name, content in parts.items():
            target.writestr(name, content)
    return out.getvalue()


def _spoil_parts(rng: random.Random, parts: dict[str, bytes]) -> None:
    """Parts dropped, changed about, too many, too large or with names that lead away."""
    name = rng.choice(list(parts))
    way = rng.randrange(6)
    if way == 0:
        del parts[name]
    elif way == 1:
        other = rng.choice(list(parts))
        parts[name], parts[other] = parts[other], parts[name]
    elif way == 2:
        parts["xl/media/bomb.bin"] = bytes(rng.choice((5_000_000, 60_000_000)))
    elif way == 3:
        parts[rng.choice(("../../evil.xml", "/etc/evil.xml", "a\\..\\..\\b.xml"))] = b"<a/>"
    elif way == 4:
        parts.update({f"xl/worksheets/extra{n}.xml": b"<a/>" for n in range(800)})
    else:
        parts[name] = b"<a>" * 100_000


_PART_WAYS: tuple[tuple[bytes, bytes], ...] = (
    (rb"<v>[^<]*</v>", b"<f>1+1</f><v>2</v>"),
    (rb"<v>[^<]*</v>", b"<v>1e999</v>"),
    (rb"<v>[^<]*</v>", b"<v>NaN</v>"),
    (rb"<v>[^<]*</v>", b"<v>99999999</v>"),
    (rb"<v>[^<]*</v>", b"<v>-1</v>"),
    (rb"<v>[^<]*</v>", b"<v></v>"),
    (rb"<v>[^<]*</v>", b"<v>" + b"7" * 6000 + b"</v>"),
    (rb't="s"', b't="n"'),
    (rb't="s"', b't="d"'),
    (rb't="s"', b't="e"'),
    (rb't="s"', b't="b"'),
    (rb't="s"', b't="inlineStr"'),
    (rb'r="[A-Z]+[0-9]+"', b'r="XFD1048576"'),
    (rb'r="[A-Z]+[0-9]+"', b'r="A0"'),
    (rb'r="[A-Z]+[0-9]+"', b'r="banana"'),
    (rb"<row ", b'<row hidden="1" '),
    (rb"<row r=\"[0-9]+\"", b'<row r="1048576"'),
    (rb"</sheetData>", b'</sheetData><mergeCells count="1"><mergeCell ref="A1:B2"/></mergeCells>'),
    (rb"<dimension ref=\"[^\"]*\"", b'<dimension ref="A1:XFD1048576"'),
    (rb"numFmtId=\"[0-9]+\"", b'numFmtId="14"'),
    (rb"<\?xml[^>]*\?>", _BILLION),
    (rb"<t>[^<]*</t>", b"<t>&#0;</t>"),
    (rb"<t>[^<]*</t>", b"<t>=1+1</t>"),
    (rb"<t>[^<]*</t>", b"<t>31-05</t>"),
    (rb"name=\"[a-z]+\" sheetId", b'name="job" sheetId'),
)


def _spoil_part(rng: random.Random, parts: dict[str, bytes]) -> None:
    name = rng.choice([one for one in parts if one.endswith((".xml", ".rels"))])
    if rng.random() < 0.2:
        parts[name] = spoil_bytes(rng, parts[name])
        return
    pattern, new = rng.choice(_PART_WAYS)
    holders = [one for one in parts if re.search(pattern, parts[one])]
    if not holders:
        return
    name = rng.choice(holders)
    found = rng.choice(list(re.finditer(pattern, parts[name])))
    parts[name] = parts[name][: found.start()] + new + parts[name][found.end() :]
