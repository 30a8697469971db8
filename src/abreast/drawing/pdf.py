"""Scenes as a PDF file, each sheet a page of its own size: the same scenes give the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, cast

from abreast.drawing.scene import Scene
from abreast.drawing.svg import svg
from abreast.errors import InputError, MissingInputError

__all__ = ["pdf"]


def pdf(scenes: Sequence[Scene], typefaces: Path) -> bytes:
    """The sheets as one PDF file, set from their SVG, so that both show the same.

    Parameters
    ----------
    scenes : sequence of Scene
        The sheets.
    typefaces : Path
        Folder with the typefaces named first in ``fonts.FAMILY``; those of the
        machine are not used, so that the bytes are the same everywhere.

    Raises
    ------
    MissingInputError
        If the package that sets PDF is not installed.
    InputError
        If it can't set a sheet, or warns that a typeface is missing.
    """
    try:
        import typst
    except ImportError:
        needs = "the package typst (install abreast with its 'documents' extra)"
        raise MissingInputError(needs) from None
    sources: dict[str, bytes] = {"main.typ": _source(scenes).encode()}
    sources |= {f"sheet{n}.svg": svg(one).encode() for n, one in enumerate(scenes)}
    try:
        made, warnings = typst.compile_with_warnings(
            cast(Any, sources),  # its types leave out that files may be given by name
            format="pdf",
            font_paths=[str(typefaces)],
            ignore_system_fonts=True,
            pdf_tags=False,
        )
    except typst.TypstError as fault:
        message = f"the drawing could not be set as PDF: {fault}"
        raise InputError(message, code="pdf") from None
    if warnings:
        message = f"the drawing could not be set as PDF: {warnings[0].message}"
        raise InputError(message, code="pdf")
    return bytes(made)


def _source(scenes: Sequence[Scene]) -> str:
    """One page for each sheet; titles are data of the SVG and are not pasted in here."""
    pages = [
        f"#page(width: {one.width_mm:g}mm, height: {one.height_mm:g}mm, margin: 0mm)"
        f'[#image("sheet{number}.svg", width: 100%, height: 100%, alt: "drawing")]'
        for number, one in enumerate(scenes)
    ]
    return "\n".join(["#set document(date: none)", *pages])
