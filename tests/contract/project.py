"""What the contract tests look at: the files of the project, and the text of its notebooks."""

from __future__ import annotations

import json
import os
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
#: Folders that tools leave behind; they are in .gitignore.
LEFT_BEHIND = {
    ".git",
    ".venv",
    "__pycache__",
    ".ipynb_checkpoints",
    ".pytest_cache",
    ".hypothesis",
    ".ruff_cache",
    "record-out",
}
TEXTS = {".py", ".md", ".ipynb", ".toml", ".csv", ".json", ".j2", ".txt", ".ini", ".html", ".css", ".js", ""}


@cache
def files() -> tuple[Path, ...]:
    """Every file that is or could be committed, relative to the top; without git, what lies there."""
    try:
        listed = (
            subprocess.run(
                ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
                cwd=ROOT,
                capture_output=True,
                check=True,
            )
            .stdout.decode()
            .split("\0")
        )
    except (FileNotFoundError, subprocess.CalledProcessError):
        listed = []
        for folder, inside, names in os.walk(ROOT):
            inside[:] = [d for d in inside if d not in LEFT_BEHIND]
            listed += [
                os.path.relpath(os.path.join(folder, n), ROOT) for n in names if not n.endswith((".pyc", ".previous"))
            ]
    return tuple(sorted(Path(n) for n in listed if n and (ROOT / n).is_file()))


def text(path: Path) -> str:
    return (ROOT / path).read_text(encoding="utf-8")


def notebooks() -> tuple[Path, ...]:
    return tuple(p for p in files() if p.suffix == ".ipynb")


def cells(path: Path, kind: str) -> list[dict]:
    """The cells of a notebook of one kind, each with its source as one text."""
    found = [c for c in json.loads(text(path))["cells"] if c["cell_type"] == kind]
    return [c | {"source": "".join(c["source"])} for c in found]
