"""The table of keys that a writer of build files reads is the schema's, no older and no newer."""

from pathlib import Path

import pytest
from jackshaft import tables
from jackshaft.buildfile import keys_table, list_builds, load
from jackshaft.buildfile.model import describe
from jackshaft.buildfile.schema import CHAPTERS, _field, walk
from project import text

KEYS = Path("data/builds/KEYS.md")


def test_the_stored_table_is_what_the_command_prints():
    assert text(KEYS) == keys_table(), "write it again: python -m jackshaft keys > data/builds/KEYS.md"


def test_the_table_has_every_section_and_key():
    words = text(KEYS)
    for path, section in walk():
        heading = f"## {section.title}" + (f": `{path}`" if path else "")
        body = words.split(heading + "\n", 1)[1].split("\n## ", 1)[0]
        assert [f.name for f in section.fields if f"\n| `{f.name}`" not in body] == []
    assert len(CHAPTERS) >= 9


def test_every_key_says_what_it_means():
    thin = [f"{path}.{f.name}" for path, section in walk() for f in section.fields if len(f.help) < 3]
    assert thin == []


def test_every_key_of_the_builds_is_in_the_table():
    words = text(KEYS)
    for name in list_builds():
        for key in load(name).keys():
            if load(name).is_none(key):
                continue
            section, field = describe(key)
            assert section.title in words and f"| `{field.name}`" in words


def test_what_a_key_refers_to_is_there():
    lists = {"engine", "pulley", *(c.name for c in CHAPTERS if c.many)}
    for path, section in walk():
        for f in section.fields:
            assert lists.issuperset(f.refers), f"{path}.{f.name}"
            assert not f.table or f.table[1] in tables.table(f.table[0]).columns, f"{path}.{f.name}"
            bounds = [b for b in (f.over if f.over is not None else f.least, f.most) if b is not None]
            assert bounds == sorted(bounds), f"{path}.{f.name}"
        assert len({f.name for f in section.fields}) == len(section.fields), path
        assert not section.many or section.field("name").required, path


@pytest.mark.parametrize("wrong", [{"takes": "lenght"}, {"marks": "requird"}, {"most": "one"}])
def test_a_slip_in_the_table_of_keys_is_refused(wrong):
    row = {"at": "engine", "key": "x", "takes": "length", "of": "", "marks": "", "meaning": "length of x"}
    row |= {"over": "0", "least": "", "most": ""}
    assert _field(row).over == 0.0
    with pytest.raises(ValueError, match="lenght|requird|one"):
        _field(row | wrong)
