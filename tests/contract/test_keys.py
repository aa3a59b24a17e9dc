"""The table of keys that a writer of build files reads is the schema's, no older and no newer."""

from pathlib import Path

from jackshaft.buildfile import keys_table, list_builds, load
from jackshaft.buildfile.model import describe
from jackshaft.buildfile.schema import CHAPTERS, walk
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
