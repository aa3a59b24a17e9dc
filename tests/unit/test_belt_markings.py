"""Markings of every kind are read, or refused in words. Seen: a banded, a metric and a lower-case one were refused."""

import numpy as np
import pytest
from builders import check_of
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics import belts
from jackshaft.results import work_up
from jackshaft.tables.belt_marks import Unreadable, read_marking

IN = 0.0254


@pytest.mark.parametrize(
    "text, section, length, line, count",
    [
        ("A68", "A", 69.3 * IN, "datum", None),  # number plus 1.3 in: mh31, p. 2575
        ("a-68", "A", 69.3 * IN, "datum", None),
        ("A68 heavy duty", "A", 69.3 * IN, "datum", None),
        ("AX60", "AX", 61.3 * IN, "datum", None),
        ("2/B97", "B", 98.8 * IN, "datum", 2),
        ("B97/2R", "B", 98.8 * IN, "datum", 2),
        ("3/5VX1400", "5V", 140 * IN, "effective", 3),
        ("XPA 1857", "SPA", 1.857, "datum", None),
        ("4L460K", "4L", 46 * IN, "outside", None),
        ("13x1280 Li", "A", 1.28, "inside", None),
        ("A 1750 Lw", "A", 1.75, "datum", None),
        ("6 PJ 1600", "PJ", 1.6, "effective", 6),  # ribs, profile, effective length: ribbed-sheet-a, p. 56
        ("630 J 6", "PJ", 63.0 * IN, "effective", 6),  # the same belt in tenths of an inch: p. 56
        ("6PL2019", "PL", 2.019, "effective", 6),
        ("795L6", "PL", 79.5 * IN, "effective", 6),
        ("6PK1438", "PK", 1.438, "effective", 6),
    ],
)
def test_each_kind_says_section_length_line_and_count(text, section, length, line, count):
    belt, found = belts.marked(text)
    assert belt.name == section and found.line == line and read_marking(text).belts == count
    assert found.length == pytest.approx(length, abs=1e-6)


def test_one_ribbed_belt_by_its_two_names():
    """6 PJ 1600 is 630 J 6 and 6 PL 2019 is 795 L 6, to a tenth of an inch (ribbed-sheet-a, p. 56 and 60)."""
    for metric, inch in (("6PJ1600", "630J6"), ("6PL2019", "795L6")):
        one, other = (belts.marked(text)[1].length for text in (metric, inch))
        assert one == pytest.approx(other, abs=0.05 * IN)


@pytest.mark.parametrize(
    "text", ["worn off", "A?0", "A68, A68", "2026-01-01", "", "AVX13x1280 La", "9,5x1000", "0/B97"]
)
def test_what_says_no_length_is_refused_in_words(text):
    with pytest.raises(belts.SectionError) as why:
        belts.marked(text)
    assert len(str(why.value)) > 30


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet='ABCXPVLKJ0123456789 x/-.,R?é"', max_size=14))
def test_no_text_ends_the_reader(text):
    try:
        said = read_marking(text)
    except Unreadable as why:
        assert str(why)
        return
    assert said.section and np.isfinite(said.number)


def test_a_metric_number_on_a_belt_of_the_inch_series_is_refused():
    with pytest.raises(belts.SectionError, match="millimetres"):
        belts.marked("17x1600", system="inch", line="inside")


def test_the_ribs_of_the_marking_count_where_nothing_else_is_said():
    at = "stage[crank belts]"
    values = {f"{at}.section": "PK", f"{at}.series": "metric", f"{at}.marked": "5PK1565", f"{at}.belts": ""}
    results = work_up(load(DEMO).with_values(values))
    assert results.chapters["grip"].data["crank belts"].belts == 5
    # one push moves all five. Seen: the force for one rib was told as that for the belt
    setting = results.chapters["grip"].data["crank belts"].set
    assert setting.together == 5 and setting.of_force(setting.best.force) == pytest.approx(setting.each)
    four = work_up(load(DEMO).with_values(values | {f"{at}.belts": 4}))
    assert check_of(four, "layout.marking[crank belts]").verdict == "caution"


@pytest.mark.parametrize("section, system", [("A", "metric"), ("B", "metric"), ("A", "inch"), ("SPA", None)])
def test_every_name_that_is_printed_says_its_own_length(section, system):
    """A length by the name is that of the row, to a rounding of the number: at most 5 mm."""
    belt = belts.section(section, system)
    sold = belts.stock(belt, "pitch")
    for name, length in zip(sold.designation, sold.length, strict=True):
        own, read = belts.marked(name, system=system)
        assert belts.convert(read.length, own, have=read.line, want="pitch") == pytest.approx(length, abs=5e-3), name


@pytest.mark.parametrize("said", [{"marked": "A 1640 Ld"}, {"marked": "A 1640", "length_is": "datum"}])
def test_a_belt_by_its_datum_length_stands_once_in_the_table(said):
    at = "stage[crank belts]"
    values = {f"{at}.series": "metric", f"{at}.section": "A", f"{at}.length": "", f"{at}.length_is": ""}
    values |= {f"{at}.{k}": v for k, v in said.items()}
    loop = work_up(load(DEMO).with_values(values), ("layout",)).chapters["layout"].data["crank belts"]
    assert [s.designation for s in loop.stock].count("A 1640 Ld") == 1
    assert loop.chosen.designation == "A 1640 Ld"
    assert not any(s.designation == "A 1640" for s in loop.stock)
