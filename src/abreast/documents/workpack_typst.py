"""From plain data and a template to the bytes of a PDF: the same data, the same bytes.

Data goes to the template as a JSON file, never into its source, so that no name
can be read as a command. Nothing is taken from the system: typefaces come with the
package, the date from the caller, and no network is used.
"""

from __future__ import annotations

import io
import json
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from abreast.documents.workpack_glyphs import FONTS, shown
from abreast.errors import AbreastError, MissingInputError

__all__ = ["qr_svg", "typeset"]

_NEEDS = "the package {} (install abreast with its 'documents' extra)"
_TEMPLATES = Path(__file__).with_name("templates")
_MAIN = "workpack.typ"
_STANDARD: Final = "a-2b"


def qr_svg(text: str) -> str:
    """A QR code (ISO/IEC 18004) as one black path on white, medium error correction.

    Raises
    ------
    MissingInputError
        If the package that makes it is not installed.
    """
    try:
        import segno
    except ImportError:
        raise MissingInputError(_NEEDS.format("segno")) from None
    code = segno.make(text, error="m", micro=False)
    out = io.BytesIO()
    code.save(out, kind="svg", border=4, light="white", xmldecl=False, nl=False)
    return out.getvalue().decode()


def typeset(data: Mapping[str, Any], images: Mapping[str, str]) -> bytes:
    """The work pack as PDF/A-2b.

    Parameters
    ----------
    data : mapping
        Plain data for the template: mappings, lists, texts and flags.
    images : mapping
        SVG text by plain file name, as the data names them.

    Raises
    ------
    MissingInputError
        If the package that sets it is not installed.
    AbreastError
        If the template can't be set or there is a warning: a pack that may be
        wrong is not written.
    """
    try:
        import typst
    except ImportError:
        raise MissingInputError(_NEEDS.format("typst")) from None
    with tempfile.TemporaryDirectory(prefix="abreast-") as folder:
        root = Path(folder)
        _lay_out(root, data, images)
        compiler = typst.Compiler(
            root / _MAIN, root=root, font_paths=[FONTS], ignore_system_fonts=True
        )
        try:
            pdf, warnings = compiler.compile_with_warnings(
                format="pdf", pdf_standards=[_STANDARD], pdf_tags=False
            )
        except typst.TypstError as fault:
            raise _refused(str(fault)) from None
    if warnings or not isinstance(pdf, bytes):
        raise _refused("; ".join(str(one) for one in warnings) or "no single file came out")
    return pdf


def _refused(why: str) -> AbreastError:
    message = f"the work pack could not be set ({' '.join(why.split())}); report this with the job"
    return AbreastError(message, code="typesetting")


def _lay_out(root: Path, data: Mapping[str, Any], images: Mapping[str, str]) -> None:
    """Everything the template may read, in one fresh folder; it can reach nothing else."""
    for path in sorted(_TEMPLATES.glob("*.typ")):
        shutil.copy(path, root / path.name)
    for name, text in images.items():
        (root / name).write_text(text, encoding="utf-8")
    words = json.dumps(_shown(data), ensure_ascii=False)
    (root / "data.json").write_text(words, encoding="utf-8")


def _shown(value: Any) -> Any:
    """The data with every text made of signs that the typefaces can show."""
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, Mapping):
        return {name: _shown(one) for name, one in value.items()}
    return [_shown(one) for one in value] if isinstance(value, (list, tuple)) else value
