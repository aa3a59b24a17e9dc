"""How the numbers of the tables are known: how many are from memory, and none of those that metal is cut by."""

from __future__ import annotations

from pathlib import Path

import pytest
from jackshaft import tables
from jackshaft.mechanics import fits, keys
from jackshaft.record.page import known_rows, known_share
from jackshaft.tables import KNOWN
from jackshaft.tables.knowing import ORDER, how_known, weakest

LIB = Path(__file__).parents[2] / "lib"
#: Printed values that the tests hold a closed form or a list in the code against.
EVIDENCE = {"belt_arc_factors", "belt_length_factors", "bearing_f0", "bearing_suffixes"}
ALL = [tables.table(name) for name in tables.names()]
#: Tables whose every row somebody may cut metal by: seats, keys, fillets, grooves of rings, ring tolerances.
CUT_BY = ("fits", "keys", "bearing_fits", "bearing_fillets", "bearing_tolerances", "snap_ring_grooves")


def test_every_table_is_read():
    """By the package, or as evidence by the tests."""
    code = "\n".join(p.read_text(encoding="utf-8") for p in LIB.rglob("*.py"))
    unread = {name for name in tables.names() if f'"{name}"' not in code}
    assert unread == EVIDENCE


def test_at_most_a_third_of_all_rows_is_from_memory():
    rows = [row for table in ALL for row in table]
    share = sum(weakest(row) == "from memory" for row in rows) / len(rows)
    assert 0 < share <= 1 / 3, f"{100 * share:.1f} % of {len(rows)} rows"


def test_the_count_names_every_table_once_and_the_worst_first():
    assert set(ORDER) == set(KNOWN)
    found = how_known(ALL)
    assert sorted(k.table for k in found) == sorted(tables.names())
    assert sum(k.rows for k in found) == sum(map(len, ALL))
    shares = [k.from_memory for k in found]
    assert shares == sorted(shares, reverse=True) and shares[0] == 1.0 and shares[-1] == 0.0
    assert len(known_rows()) == len(found) and "weakest part" in known_share()


def test_a_row_counts_by_its_weakest_part():
    fuse = tables.table("fuse_ratings").one(style="blade", rating_a=30)
    assert (fuse.known, fuse["cold_known"], weakest(fuse)) == ("read", "from memory", "from memory")


@pytest.mark.parametrize("name", CUT_BY)
def test_no_number_that_metal_is_cut_by_is_from_memory(name):
    for row in tables.table(name):
        assert weakest(row) in ("read", "derived"), f"{name}.csv line {row.line}: {row.cite}"


def test_a_groove_that_was_not_seen_in_print_says_so():
    """Its row is marked, and so is its angle where nobody printed it."""
    for row in tables.table("belt_grooves"):
        if row["angle_known"] != "read":
            assert row.known == "from memory", row
    assert all("Not to cut metal from" in row["note"] for row in tables.table("splines"))


def test_limits_and_keys_cite_what_they_print():
    """A source that is not from memory, and the place in it."""
    cites = [fits.limits.si(row["to_mm"] * 1e-3, row["fit_class"]).cite for row in tables.table("fits")]
    cites += [keys.key_for.si(d, system=s).words for d, s in ((0.025, "metric"), (0.08, "metric"), (0.0254, "inch"))]
    for cite in cites:
        key, place = tables.key_and_place(tables_first(cite))
        assert place and tables.source(key).how_read != "from memory", cite


def tables_first(cite: str) -> str:
    listed, _, place = cite.partition(" ")
    return f"{listed.split(';')[0]} {place}"
