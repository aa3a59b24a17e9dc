"""Fields under their headings: few stand open, the rest folds away, and what is changed or wrong is in sight."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.layout.panel import panel as layout_panel
from jackshaft.ui.fields import Field
from jackshaft.ui.fold import OPEN, grouped
from jackshaft.ui.model import Control


def fields(*sizes):
    return [
        Field(
            Control(None, f"{g}{n}", "0 to 1 by 0.1", "number", name=f"x{g}{n}", start="0", group=f"part {g}"),
            "inch",
            print,
        )
        for g, size in enumerate(sizes)
        for n in range(size)
    ]


@pytest.mark.parametrize(
    "sizes, folded",
    [((3,), []), ((OPEN + 4,), []), ((4, 4), []), ((4, 4, 1), ["part 2"]), ((1, OPEN, 1), ["part 1", "part 2"])],
)
def test_groups_are_folded_whole_and_the_first_never(sizes, folded):
    parts, folds = grouped(fields(*sizes))
    assert [f._title for f in folds] == folded
    assert sum(len(f.fields) for f in folds) + sum("jk-control" in p._dom_classes for p in parts) == sum(sizes)


def test_what_is_changed_or_wrong_is_in_sight():
    for text, right in (("18.5 in", True), ("18 kg", False)):
        panel = layout_panel(load(DEMO), None)
        fold = next(f for f in panel._folds if any(x.control.id.endswith("pulley[J].x") for x in f.fields))
        assert not fold._within.children and "▸" in fold._button.description
        panel.set("stage[crank belts].pulley[J].x", text)
        assert panel.state.fresh == right
        assert len(fold._within.children) == len(fold.fields) and "▾" in fold._button.description
