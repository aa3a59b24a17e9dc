"""The build file rides along in its record: put into the page as a link, and taken out of a page again.

A record may come from a stranger. Nothing of it is run, nothing beside it is read, and what is taken out is read
as any other build file is.
"""

from __future__ import annotations

import base64
import binascii
import math
import re
from html import escape
from html.parser import HTMLParser
from pathlib import Path

from jackshaft.buildfile import Build, BuildProblems, Problem, parse
from jackshaft.buildfile.limits import FILE_BYTES

#: What the link begins with; the rest is the file in base 64.
SCHEME = "data:application/toml;base64,"
#: A record that is larger is not read: the largest of ours have under a tenth of it.
PAGE_BYTES = 64 * 1024 * 1024

_NAME = re.compile(r"[\w-][\w .-]{0,80}\.toml")
WANTED = "the page that `record` wrote, which has the build file in it"


def link(build: Build) -> str:
    """Return the link that saves the build file, by which :func:`taken_out` finds it again."""
    data = base64.b64encode(build.text.encode("utf-8", "surrogatepass")).decode("ascii")
    name = escape(f"{build.slug}.toml", quote=True)
    return f'<a class="file" download="{name}" href="{SCHEME}{data}">Save the build file {name}</a>'


class _Links(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found: list[tuple[str, str]] = []

    def handle_starttag(self, tag, attrs):
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and given.get("href", "").startswith(SCHEME):
            self.found.append((given.get("download", ""), given["href"][len(SCHEME) :]))


def taken_out(record: Path) -> Build:
    """Return the build whose record a page is.

    Parameters
    ----------
    record : Path
        The HTML file that was written.

    Raises
    ------
    BuildProblems
        If it cannot be read, holds no build file or more than one, or what it holds is no good build.
    """
    name, data = _file_in(record)
    # the name comes from the page; only a plain one is taken, so that it leads nowhere
    return parse(data, file=name if _NAME.fullmatch(name) else f"{record.stem}.toml")


def _file_in(record: Path) -> tuple[str, bytes]:
    def refuse(found: str, wanted: str = WANTED) -> BuildProblems:
        return BuildProblems([Problem(record.name[:200], "", found, wanted)])

    try:
        size = record.stat().st_size
        if size > PAGE_BYTES:
            raise refuse(f"a file of {math.ceil(size / 2**20)} MB", f"at most {PAGE_BYTES // 2**20} MB")
        links = _Links()
        links.feed(record.read_text(encoding="utf-8", errors="replace"))
        links.close()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise refuse(f"a file that cannot be read ({why})") from None
    if len(links.found) != 1:
        raise refuse(f"{len(links.found)} build files in it" if links.found else "no build file in it")
    name, text = links.found[0]
    if len(text) > FILE_BYTES * 4 // 3 + 4:
        raise refuse(f"a build file of {math.ceil(len(text) * 3 / 4096)} KB", f"at most {FILE_BYTES // 1024} KB")
    try:
        return name, base64.b64decode(text, validate=True)
    except binascii.Error:
        raise refuse("a build file that is damaged") from None


__all__ = ["PAGE_BYTES", "SCHEME", "link", "taken_out"]
