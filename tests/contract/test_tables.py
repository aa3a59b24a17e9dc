"""The data tables: provenance on every row, headings described, and each table held to rules."""

from __future__ import annotations

import csv
import functools
import re
import shutil
from importlib import metadata
from pathlib import Path

import pytest
import table_rules
import table_rules_bearings  # noqa: F401  fills the list of rules
import table_rules_belts  # noqa: F401
import table_rules_chains  # noqa: F401
import table_rules_drives  # noqa: F401
import table_rules_electric  # noqa: F401
import table_rules_inserts  # noqa: F401
import table_rules_shafts  # noqa: F401
from jackshaft import tables
from jackshaft.tables import Row, Table, TableError, table

ROOT = Path(__file__).parents[2]
NAMES = tables.names()
UNIT_OF_ENDING = {
    "mm": "mm",
    "mm2": "mm2",
    "in": "in",
    "um": "um",
    "deg": "deg",
    "rpm": "rpm",
    "a": "A",
    "v": "V",
    "n": "N",
    "mpa": "MPa",
    "gpa": "GPa",
    "kpa": "kPa",
    "kw": "kW",
    "hp": "hp",
    "lbf": "lbf",
    "c": "degC",
    "percent": "%",
    "s": "s",
    "rad": "rad",
    "mohm": "mohm",
    "lbf_in": "lbf*in",
    "lbf_ft": "lbf*ft",
    "mm_per_s": "mm/s",
    "w_per_mm2": "W/mm2",
    "kg_per_m": "kg/m",
    "kg_per_m3": "kg/m3",
    "a_per_m": "A/m",
    "m_per_s": "m/s",
    "ohm_per_km": "ohm/km",
    "ft_per_min": "ft/min",
}


def numeric(found: Table) -> list[str]:
    return [name for name, column in found.columns.items() if column.unit not in ("text", "yes/no")]


@functools.cache
def rules_by_table() -> dict[str, list]:
    """Which rules read which table."""
    found: dict[str, list] = {name: [] for name in NAMES}
    for rule in table_rules.RULES:
        read: set[str] = set()

        def get(wanted, read=read):
            read.add(wanted)
            return table(wanted)

        rule(get)
        for name in read:
            found[name].append(rule)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_row_says_its_source_and_how_it_is_known(name):
    found = table(name)
    assert len(found) > 0
    for row in found:
        assert row.locator, f"{name}.csv line {row.line}: no locator"
        assert row.known in tables.KNOWN
        for key in row.source.split(";"):
            assert tables.source(key), f"{name}.csv line {row.line}"
        for column in found.columns:
            if column.endswith("_known") and row[column] is not None:
                assert row[column] in tables.KNOWN, f"{name}.csv line {row.line}, {column}"


def test_a_row_is_not_known_better_than_its_parts(for_each):
    def holds(name):
        order = ("read", "derived", "common practice", "from memory")
        for row in table(name):
            parts = [row[c] for c in row if c.endswith("_known") and c not in WHOLE_ROW_STANDS and row[c]]
            for part in parts:
                assert order.index(row.known) >= order.index(part), f"{name}.csv line {row.line}"

    for_each(NAMES, holds)


# Columns beside the main ones: their own mark says that they are weaker than the row.
WHOLE_ROW_STANDS = ("chamfer_known", "textbook_known", "tensile_max_known", "cold_known")


def test_every_heading_is_described_and_nothing_else():
    with (tables.data_dir() / "tables" / "columns.csv").open(encoding="utf-8", newline="") as file:
        described = {(row["table"], row["column"]) for row in csv.DictReader(file)}
    there = {(name, column) for name in NAMES for column in table(name).columns}
    for name, column in there:
        assert (name, column) in described or ("*", column) in described, f"{name}.{column}"
    for name, column in described:
        assert name == "*" or (name, column) in there, f"columns.csv describes {name}.{column}, not there"


def test_the_unit_stands_in_the_heading(for_each):
    def holds(name):
        for heading, column in table(name).columns.items():
            assert re.fullmatch(r"[a-z][a-z0-9_]*", heading), f"{name}: {heading}"
            endings = [e for e in UNIT_OF_ENDING if heading.endswith("_" + e)]
            if endings and column.unit not in ("text", "1"):
                longest = max(endings, key=len)
                assert column.unit == UNIT_OF_ENDING[longest], f"{name}.{heading}: {column.unit}"
            needs = [u for u in ("mm", "in", "um", "A", "V", "N", "MPa", "kW", "rpm", "deg") if u == column.unit]
            for unit in needs:
                assert heading.endswith("_" + unit.lower()), f"{name}.{heading} does not say {unit}"

    for_each(NAMES, holds)


def test_cells_are_plain(for_each):
    def holds(name):
        for row in table(name):
            for cell in row.values():
                if isinstance(cell, str):
                    assert cell == cell.strip() and "\n" not in cell
                    assert "://" not in cell and "www." not in cell, f"{name}.csv line {row.line}"

    for_each(NAMES, holds)


def test_every_source_is_cited_and_says_what_it_is():
    texts = [p.read_text(encoding="utf-8") for p in (ROOT / "lib").rglob("*.py")]
    texts += [p.read_text(encoding="utf-8") for p in (ROOT / "data" / "tables").glob("*.csv")]
    texts += [(ROOT / "data" / "departures.csv").read_text(encoding="utf-8")]
    texts += [(ROOT / "tests" / "printed" / "printed_answers.json").read_text(encoding="utf-8")]
    cited = {word for text in texts for word in re.findall(r"[\w-]+", text)}
    for key, found in tables.sources().items():
        assert re.fullmatch(r"[a-z0-9][a-z0-9-]*", key)
        assert found.title and found.kind and found.how_read
        assert key in cited, f"{key} is cited nowhere"


@pytest.mark.parametrize("rule", table_rules.RULES, ids=lambda r: f"{r.__module__[12:]}-{r.__name__}")
def test_tables_obey(rule):
    rule(table)


def test_every_table_with_numbers_has_a_rule(for_each):
    def holds(name):
        assert rules_by_table()[name]

    for_each(NAMES, holds)


def spoiled(found: Table, index: int, column: str, value: float) -> Table:
    row = found.rows[index]
    cells = {**row, column: value}
    rows = (*found.rows[:index], Row(cells, found.name, row.line), *found.rows[index + 1 :])
    return Table(found.name, found.path, dict(found.columns), rows)


def refused(found: Table) -> bool:
    for rule in rules_by_table()[found.name]:
        try:
            rule(lambda name: found if name == found.name else table(name))
        except (AssertionError, ArithmeticError, TableError, ValueError, LookupError, TypeError):
            return True
    return False


def sample(found: Table, column: str, most: int = 7) -> list[int]:
    filled = [i for i, row in enumerate(found.rows) if row[column] not in (None, 0.0)]
    step = max(1, -(-len(filled) // most))
    return sorted({*filled[::step], *filled[-1:]})


@pytest.mark.parametrize("name", [n for n in NAMES if numeric(table(n))])
def test_a_slipped_decimal_point_is_refused(name):
    """Meta-test: in every column of numbers, a cell ten times too large breaks a rule."""
    found = table(name)
    tried, caught = 0, 0
    for column in numeric(found):
        indices = sample(found, column)
        hits = [refused(spoiled(found, i, column, 10 * found.rows[i][column])) for i in indices]
        assert not indices or any(hits), f"{name}.{column}: nothing notices a slipped point"
        tried, caught = tried + len(hits), caught + sum(hits)
    assert caught >= 0.8 * tried, f"{name}: only {caught} of {tried} slips were noticed"


@pytest.fixture
def copy(tmp_path, monkeypatch):
    """A data folder with a copy of one table, which may be broken; gives its path."""
    data = tables.data_dir()

    def of(name: str) -> Path:
        (tmp_path / "tables").mkdir(exist_ok=True)
        for file in (f"tables/{name}.csv", "tables/columns.csv", "sources.csv"):
            shutil.copy(data / file, tmp_path / file)
        monkeypatch.setenv("JACKSHAFT_DATA", str(tmp_path))
        return tmp_path / "tables" / f"{name}.csv"

    return of


def edit(path: Path, line: int, column: str, text: str) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    rows[line - 1][rows[0].index(column)] = text
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


@pytest.mark.parametrize("column", tables.PROVENANCE)
def test_a_row_without_provenance_is_refused(copy, for_each, column):
    def refused_without(name):
        edit(copy(name), 2, column, "")
        with pytest.raises(TableError, match=rf"{name}\.csv, line 2, column {column}"):
            table(name)

    for_each(NAMES, refused_without)


def test_an_unknown_source_or_way_of_knowing_is_refused(copy, for_each):
    def holds(name):
        path = copy(name)
        edit(path, 2, "source", "hearsay")
        with pytest.raises(TableError, match="hearsay"):
            test_every_row_says_its_source_and_how_it_is_known(name)
        edit(path, 2, "known", "certain")
        with pytest.raises(TableError, match=rf"{name}\.csv, line 2, column known: 'certain'"):
            table(name)

    for_each(NAMES, holds)


def test_an_undescribed_column_is_refused(copy):
    path = copy("wire")
    text = path.read_text(encoding="utf-8").replace("diameter_mm", "thickness_mm", 1)
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TableError, match="thickness_mm"):
        table("wire")
    with pytest.raises((AssertionError, TableError)):
        test_every_heading_is_described_and_nothing_else()


def open_sizes() -> dict[str, tuple[float, ...]]:
    """Bore, outside and width in mm of every bearing of the open data package that the tests install."""
    (found,) = [f for f in metadata.files("solidpython2") if str(f).endswith("/ball_bearings.scad")]
    text = Path(found.locate()).read_text(encoding="utf-8")

    def length(words: str) -> float:
        number, inch = re.fullmatch(r"([\d./]+)(\*IN)?", words.strip()).groups()
        top, _, bottom = number.partition("/")
        return float(top) / float(bottom or 1) * (25.4 if inch else 1)

    pattern = r'\[\s*"(\w+)",\s*([^,]+),\s*([^,]+),\s*([^,]+),'
    return {number: tuple(map(length, sizes)) for number, *sizes in re.findall(pattern, text)}


def compared() -> dict[str, list[tuple[str, tuple[float, ...]]]]:
    """The package's sizes under our designation; flanged ones have none of ours."""
    ours = {}
    for row in table("bearings"):
        for number in (row["designation"], *(row["also_called"] or "").split(";")):
            ours[number] = row["designation"]
    found: dict[str, list] = {}
    for number, sizes in open_sizes().items():
        name = ours.get(number) or ours.get(number.removesuffix("ZZ"))
        if name is not None:
            found.setdefault(name, []).append((number, sizes))
    return found


COLUMNS = ("bore_mm", "od_mm", "width_mm")


def test_a_bearing_size_that_the_open_package_covers_agrees_or_the_difference_is_listed(for_each):
    sizes = compared()

    def agrees(name):
        row = table("bearings").one(designation=name)
        for number, theirs in sizes[name]:
            off = [c for c, v in zip(COLUMNS, theirs, strict=True) if abs(row[c] - v) > 0.01]
            said = [
                float(v)
                for v in re.findall(
                    r"(?:bore|outside|width) ([\d.]+) mm", (row["note"] or "").partition("an open table has")[2]
                )
            ]
            assert [round(theirs[COLUMNS.index(c)], 3) for c in off] == said, (number, off)
            assert ("solidpython2" in row["source"].split(";")) == (not off), number

    for_each(sorted(sizes), agrees)


def test_a_row_cites_the_open_package_only_where_the_package_has_it():
    citing = {r["designation"] for r in table("bearings") if "solidpython2" in r["source"].split(";")}
    assert citing <= set(compared()) and len(citing) >= 60
    # the flanged ones and one metric miniature are all that it has beside
    beside = {n for n in open_sizes() if not any(n == number for rows in compared().values() for number, _ in rows)}
    assert all(n.startswith(("F", "MF")) or n.startswith("635") for n in beside), beside


def test_a_wrong_size_is_found():
    """Spoiled by a fiftieth of a millimetre, the comparison fails."""
    row = table("bearings").one(designation="6205")
    ((_, theirs), *_) = compared()["6205"]
    assert not any(abs(row[c] - v) > 0.01 for c, v in zip(COLUMNS, theirs, strict=True))
    assert any(abs(row[c] + 0.02 - v) > 0.01 for c, v in zip(COLUMNS, theirs, strict=True))
