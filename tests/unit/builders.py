"""What tests look up in a build that was worked up: a check, a table, a fact, and what a chapter found."""

from __future__ import annotations


def check_of(results, id: str):
    """Return the one check of that id, or fail with what there is."""
    found = [c for c in results.checks if c.id == id]
    assert len(found) == 1, f"{len(found)} checks {id}; there are {', '.join(sorted(c.id for c in results.checks))}"
    return found[0]


def data(results, chapter: str, part: str | None = None):
    """Return what a chapter found, or what it found of one part."""
    found = results.chapters[chapter].data
    return found[part] if part else found


def sheet(results, title: str, chapter: str):
    """Return the table with that title, else the first with it in its title, or fail with what there is."""
    tables = results.chapters[chapter].tables
    found = [t for t in tables if t.title == title] + [t for t in tables if title in t.title]
    assert found, f"no table {title!r}; there are {', '.join(t.title for t in tables)}"
    return found[0]


def fact(results, label: str, chapter: str):
    """Return the fact of a chapter with that label, or fail with what there is."""
    facts = results.chapters[chapter].facts
    found = [f for f in facts if f.label == label]
    assert found, f"no fact {label!r}; there are {', '.join(f.label for f in facts)}"
    return found[0]
