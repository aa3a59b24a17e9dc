"""Reading tables: rows, look-ups, ranges, where the data is found, and what is said when it fails."""

from __future__ import annotations

import os

import numpy as np
import pytest
from jackshaft import tables
from jackshaft.tables import DataNotFound, TableError

COLUMNS = """table,column,unit,meaning
*,source,text,Keys
*,locator,text,Where
*,known,text,How known
sizes,size,text,Marking
sizes,over_mm,mm,Above
sizes,to_mm,mm,Up to
sizes,stocked,yes/no,Whether it is kept in stock
"""
SIZES = """size,over_mm,to_mm,stocked,source,locator,known
06,,10,yes,ours,p. 1,read
08,10,20,no,ours,p. 1,derived
10,20,,,ours,p. 2,from memory
"""
SOURCES = "key,title,kind,how_read,note\nours,A page,book,read,\n"


@pytest.fixture
def data(tmp_path, monkeypatch):
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "columns.csv").write_text(COLUMNS)
    (tmp_path / "tables" / "sizes.csv").write_text(SIZES)
    (tmp_path / "sources.csv").write_text(SOURCES)
    monkeypatch.setenv("JACKSHAFT_DATA", str(tmp_path))
    return tmp_path


def change(data, old, new, file="tables/sizes.csv"):
    path = data / file
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    later = path.stat().st_mtime_ns + 1_000_000
    os.utime(path, ns=(later, later))


def test_words_stay_words_and_numbers_are_floats(data):
    row = tables.table("sizes").rows[1]
    assert row["size"] == "08" and row["over_mm"] == 10.0 and row["stocked"] is False
    assert tables.table("sizes").rows[0]["over_mm"] is None
    assert tables.table("sizes").rows[2]["stocked"] is None
    assert isinstance(row["to_mm"], float)


def test_a_row_reads_like_a_dictionary(data):
    row = tables.table("sizes").rows[0]
    assert dict(row)["size"] == "06" and len(row) == 7 and "to_mm" in row
    assert row.get("nothing", 3) == 3
    assert (row.source, row.locator, row.known, row.line) == ("ours", "p. 1", "read", 2)
    assert row.cite == "ours p. 1"
    assert tables.table("sizes").rows[2].cite == "ours p. 2 (from memory)"
    with pytest.raises(TableError, match="no column 'colour'; it has size"):
        row["colour"]


def test_columns_are_arrays_that_cannot_be_written(data):
    found = tables.table("sizes")
    np.testing.assert_array_equal(found.column("to_mm"), [10.0, 20.0, np.nan])
    assert list(found.column("size")) == ["06", "08", "10"]
    with pytest.raises(ValueError):
        found.column("to_mm")[0] = 1.0
    with pytest.raises(TableError, match="no column"):
        found.column("colour")


def test_where_and_one(data):
    found = tables.table("sizes")
    assert [row["size"] for row in found.where(locator="p. 1")] == ["06", "08"]
    assert [row["size"] for row in found.where(over_mm=None)] == ["06"]
    assert [row["size"] for row in found.where(over_mm=10)] == ["08"]
    assert [row["size"] for row in found.where(stocked=False)] == ["08"]
    assert len(found.where(size="8")) == 0
    assert found.one(size="10")["over_mm"] == 20
    with pytest.raises(TableError, match="no row fits size = '12'; size is one of 06, 08, 10"):
        found.one(size="12")
    with pytest.raises(TableError, match=r"2 rows fit .*lines 2, 3"):
        found.one(locator="p. 1")
    with pytest.raises(TableError, match="no column 'bore'"):
        found.where(bore=1)


@pytest.mark.parametrize(
    ("value", "size"), [(-5, "06"), (10, "06"), (10.001, "08"), (20, "08"), (20.001, "10"), (1e6, "10")]
)
def test_a_range_holds_its_upper_end_and_not_its_lower(data, value, size):
    (row,) = tables.table("sizes").covering(value, "over_mm", "to_mm")
    assert row["size"] == size


def test_nothing_covers_a_value_outside(data):
    change(data, "06,,10", "06,5,10")
    assert len(tables.table("sizes").covering(5, "over_mm", "to_mm")) == 0
    assert len(tables.table("sizes").covering(5.1, "over_mm", "to_mm", size="06")) == 1
    with pytest.raises(TableError, match="no column"):
        tables.table("sizes").covering(5, "above", "to_mm")


def test_a_file_is_read_once_until_it_changes(data):
    first = tables.table("sizes")
    assert tables.table("sizes") is first
    change(data, "08,10,20", "08,10,25")
    assert tables.table("sizes").one(size="08")["to_mm"] == 25
    change(data, "sizes,size,text", "sizes,size,number", "tables/columns.csv")
    assert tables.table("sizes").rows[0]["size"] == 6.0


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("08,10,20", "08,ten,20", r"sizes\.csv, line 3, column over_mm: 'ten' is not a number"),
        ("08,10,20", "08,inf,20", r"line 3, column over_mm: 'inf' is not a number"),
        ("08,10,20", '08,"10,5",20', r"line 3, column over_mm: '10,5' is not a number"),
        ("20,no", "20,perhaps", r"line 3, column stocked: 'perhaps' is not yes or no"),
        ("derived", "surely", r"line 3, column known: 'surely' is not one of read"),
        ("ours,p. 1,derived", ",p. 1,derived", r"line 3, column source: empty"),
        ("ours,p. 1,derived", "ours,,derived", r"line 3, column locator: empty"),
        ("08,10,20,no", "08,10,20", r"line 3: 6 cells, but the heading has 7"),
        ("stocked", "colour", r"column 'colour' is not described in columns\.csv"),
        ("size,over_mm", "over_mm,over_mm", r"line 1: column 'over_mm' stands twice"),
        (",known", ",size", r"stands twice"),
    ],
)
def test_a_broken_table_names_file_line_and_column(data, old, new, said):
    change(data, old, new)
    with pytest.raises(TableError, match=said):
        tables.table("sizes")


def test_a_table_needs_its_provenance_columns(data):
    (data / "tables" / "sizes.csv").write_text("size,source,locator\n06,ours,p. 1\n")
    with pytest.raises(TableError, match="has no column 'known'"):
        tables.table("sizes")
    (data / "tables" / "sizes.csv").write_text("")
    with pytest.raises(TableError, match="is empty"):
        tables.table("sizes")


def test_a_wrong_name_says_which_tables_there_are(data):
    assert tables.names() == ("sizes",)
    for name in ("size", "columns"):
        with pytest.raises(TableError, match=f"no table '{name}'; there are sizes"):
            tables.table(name)


def test_sources(data):
    assert tables.source("ours").title == "A page"
    with pytest.raises(TableError, match="no source 'theirs'"):
        tables.source("theirs")
    change(data, "ours,A page", "ours,A page,book,read,\nours,B", "sources.csv")
    with pytest.raises(TableError, match=r"sources\.csv, line 3: the key 'ours' stands twice"):
        tables.sources()
    change(data, "ours,A page", "ours,", "sources.csv")
    with pytest.raises(TableError, match="line 2: an empty cell"):
        tables.sources()


def test_departures(data):
    with pytest.raises(TableError, match=r"departures\.csv is missing"):
        tables.departures()
    path = data / "departures.csv"
    path.write_text("id,answer,kind,source,locator,printed,ours,why\nX,a,misprint,ours,p. 1,1,2,because\n")
    assert tables.departures()[0].why == "because"
    path.write_text("id,answer,kind,source,locator,printed,ours,why\nX,a,misprint,ours,p. 1,1,2,\n")
    with pytest.raises(TableError, match="line 2: an empty cell"):
        tables.departures()


def test_a_named_folder_without_data_is_an_error_not_a_guess(tmp_path, monkeypatch):
    monkeypatch.setenv("JACKSHAFT_DATA", str(tmp_path))
    with pytest.raises(DataNotFound, match="no sources.csv and tables/ are in it"):
        tables.data_dir()


def test_the_project_finds_its_own_data(monkeypatch, tmp_path):
    monkeypatch.delenv("JACKSHAFT_DATA", raising=False)
    monkeypatch.chdir(tmp_path)
    assert (tables.data_dir() / "tables" / "wire.csv").is_file()
    assert tables.table("wire").one(system="AWG", size="12")["sae_area_mm2"] == pytest.approx(2.956)
    assert tables.departures()
