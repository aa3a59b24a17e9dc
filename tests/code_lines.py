"""Count the lines of code of each room of the package: no docstrings, no blank lines, no comments.

Run ``python tests/code_lines.py`` at the top; a folder as argument counts another copy of the project.
"""

from __future__ import annotations

import ast
import io
import sys
import tokenize
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DESCRIBED = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
#: Tokens that are no code: a line that holds nothing else does not count.
NO_CODE = (
    tokenize.COMMENT,
    tokenize.NL,
    tokenize.NEWLINE,
    tokenize.INDENT,
    tokenize.DEDENT,
    tokenize.ENDMARKER,
)


def docstring_lines(source: str) -> set[int]:
    """Return the numbers of the lines that docstrings take."""
    found: set[int] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, DESCRIBED) and ast.get_docstring(node, clean=False) is not None:
            found |= set(range(node.body[0].lineno, node.body[0].end_lineno + 1))
    return found


def code_lines(source: str) -> int:
    """Return how many lines of a source text are code."""
    lines: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type not in NO_CODE:
            lines |= set(range(token.start[0], token.end[0] + 1))
    return len(lines - docstring_lines(source))


def rooms(top: Path) -> Counter[str]:
    """Return the lines of code of each room; each chapter is counted by itself."""
    package, found = top / "lib" / "jackshaft", Counter()
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package).parts
        room = "/".join(parts[:2]) if parts[0] == "chapters" and len(parts) > 2 else parts[0]
        found[room] += code_lines(path.read_text(encoding="utf-8"))
    return found


if __name__ == "__main__":
    counted = rooms(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT)
    for room, lines in sorted(counted.items()):
        print(f"{lines:6} {room}")
    print(f"{counted.total():6} in all")
