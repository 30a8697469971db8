"""Words under a chart: verdicts large, nothing beyond the box, the rest told where it is."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from abreast.drawing.caption import FIGURE_MM, VERDICT_MM, caption

ROWS = st.lists(st.tuples(st.text("abc ", min_size=1, max_size=400), st.booleans()), max_size=20)
BOX = (9.0, 200.0, 201.0, 230.0)


@given(ROWS, st.sampled_from([1.0, 2**0.5]))
def test_words_stay_in_their_box_and_verdicts_are_large(
    rows: list[tuple[str, bool]], f: float
) -> None:
    texts = list(caption(rows, BOX, f, "the findings"))
    for one in texts:
        left, top, right, bottom = one.box_mm
        assert left >= 9.0 * f - 1e-6 and right <= 201.0 * f + 1e-6
        assert top >= 200.0 * f - 1e-6 and bottom <= 230.0 * f + 1e-6
    heights = [one.y_mm for one in texts]
    assert heights == sorted(set(heights))
    told = {one.text for one in texts}
    cut = "… and more: see the findings" in told
    sizes = {round(one.size_mm / f, 6) for one in texts}
    wanted = {VERDICT_MM if bold else FIGURE_MM for _, bold in rows}
    assert sizes <= wanted | {FIGURE_MM}
    assert cut or sizes == wanted
