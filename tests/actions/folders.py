"""The bundled jobs copied to a folder of the test, to be changed and planned there."""

from __future__ import annotations

import csv
import io
import shutil
from pathlib import Path

from abreast.examples import example_path


def job_folder(tmp_path: Path, name: str = "quernstone_14/corrected") -> Path:
    return Path(shutil.copytree(example_path(name), tmp_path / "job"))


def in_toml(folder: Path, old: str, new: str) -> None:
    path = folder / "job.toml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), encoding="utf-8")


def in_table(folder: Path, table: str, piece: str, **cells: str) -> None:
    """Change cells of the row whose id is ``piece``; columns by their name without unit."""
    path = folder / f"{table}.csv"
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
    names = [heading.split(" [")[0] for heading in rows[0]]
    (row,) = (row for row in rows[1:] if row[0] == piece)
    for name, text in cells.items():
        row[names.index(name)] = text
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(rows)
    path.write_text(out.getvalue(), encoding="utf-8")


def reject(folder: Path, *pieces: str) -> None:
    for piece in pieces:
        in_table(folder, "rack", piece, status="rejected", status_reason="pin galled")
