"""Links and file names in the guides and the notebooks lead somewhere."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote

import pytest
from project import ROOT, cells, files, notebooks, text

GUIDES = tuple(p for p in files() if p.suffix == ".md")
LINK = re.compile(r"!?\[[^\]]*\]\(\s*<?([^)\s>]+)>?(?:\s+\"[^\"]*\")?\s*\)|\b(?:href|src)=[\"']([^\"']+)[\"']")
CODE = re.compile(r"```.*?```|`[^`]*`", re.DOTALL)


def heading_ids(words: str) -> set[str]:
    """The anchors a code host and JupyterLab make of headings."""
    ids = set()
    for title in re.findall(r"^#{1,6} +(.+?)\s*$", re.sub(r"```.*?```", "", words, flags=re.DOTALL), re.MULTILINE):
        plain = re.sub(r"[^\w\- ]", "", re.sub(r"[`*_]", "", title)).strip()
        # JupyterLab keeps the marks, a code host does not
        ids |= {plain.lower().replace(" ", "-"), title.replace(" ", "-")}
    return ids


def words_of(path: Path) -> str:
    if path.suffix == ".ipynb":
        return "\n\n".join(c["source"] for c in cells(path, "markdown"))
    return text(path)


def broken(path: Path, words: str) -> list[str]:
    """Relative links of a text that lead nowhere: no such file, or no such heading in it."""
    found = []
    for groups in LINK.findall(CODE.sub("", words)):
        target = next(g for g in groups if g)
        if re.match(r"[a-z][a-z0-9+.-]*:|//", target, re.IGNORECASE):
            if not target.startswith(("data:image/", "mailto:")):
                found.append(f"{target} leads outside")
            continue
        name, _, anchor = unquote(target).partition("#")
        goal = path if not name else Path(*(ROOT / path.parent / name).resolve().parts)
        goal = goal if goal.is_absolute() else ROOT / goal
        if not goal.exists():
            found.append(f"{target}: no such file")
        elif not goal.is_relative_to(ROOT):
            found.append(f"{target} leads out of the project")
        elif anchor and goal.suffix in (".md", ".ipynb"):
            if anchor not in heading_ids(words if goal == ROOT / path else words_of(goal.relative_to(ROOT))):
                found.append(f"{target}: no such heading")
    return found


@pytest.mark.parametrize("path", (*GUIDES, *notebooks()), ids=str)
def test_links_lead_somewhere(path):
    assert broken(path, words_of(path)) == []


@pytest.mark.parametrize(
    "words,why",
    [
        ("[a](notebooks/99_none.ipynb)", "no such file"),
        ("![a picture](data/no.png)", "no such file"),
        ("[a](#no-such-heading)", "no such heading"),
        ("[a](README.md#nowhere)", "no such heading"),
        ("[a](https://example.org/)", "outside"),
        ("[a](//example.org/)", "outside"),
        ("[a](../x)", "no such file"),
        ('<img src="no.png">', "no such file"),
        ("[a](..)", "out of the project"),
    ],
)
def test_a_broken_link_is_seen(words, why):
    assert [why in b for b in broken(Path("README.md"), words)] == [True]


@pytest.mark.parametrize(
    "words", ["[a](LICENSE)", "[a](README.md#cautions)", "`[a](no)`", "# Here\n[a](#here)", "[the tables](data/tables)"]
)
def test_a_good_link_passes(words):
    assert broken(Path("DEVELOPERS.md"), words) == []


PATH = re.compile(r"`((?:lib|tests|data|notebooks|\.ci)/[\w./-]*|\.[\w.]+(?:/\w+)?|[A-Z]+\.md|requirements\.txt)`")
#: Written for the reader to fill in, or made by a command.
NAMED_LATER = re.compile(r"NAME|SUBJECT|\.venv|\.previous|\.toml$|\.ipynb_checkpoints")


@pytest.mark.parametrize("path", [Path("README.md"), Path("DEVELOPERS.md")], ids=str)
def test_files_that_the_guides_name_exist(path):
    named = [n for n in PATH.findall(text(path)) if not NAMED_LATER.search(n)]
    assert named and [n for n in named if not (ROOT / n).exists()] == []
