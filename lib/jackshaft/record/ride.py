"""The build file and the photographs ride along in their record, and are taken out of a page again.

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
from jackshaft.photos import MOST, NoPhoto, Refused, clean, safe_name

#: What the link begins with; the rest is the file in base 64.
SCHEME = "data:application/toml;base64,"
#: The same of a photograph, and the attribute that says its file's name.
PICTURE, PHOTO = "data:image/jpeg;base64,", "data-photo"
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
        self.pictures: list[tuple[str, str]] = []

    def handle_starttag(self, tag, attrs):
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and given.get("href", "").startswith(SCHEME):
            self.found.append((given.get("download", ""), given["href"][len(SCHEME) :]))
        elif tag == "img" and PHOTO in given:
            self.pictures.append((given[PHOTO], given.get("src", "").removeprefix(PICTURE)))


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


def photos_in(record: Path) -> tuple[dict[str, bytes], tuple[Refused, ...]]:
    """Return the photographs in a record by names that lead nowhere, cleaned, and those that are not taken, with why.

    Raises
    ------
    BuildProblems
        If the page cannot be read.
    """
    found, refused = {}, []
    for number, (name, text) in enumerate(_read(record).pictures, 1):
        called = safe_name(name)
        try:
            if number > MOST or called in found:
                raise NoPhoto(f"found more than {MOST} photographs, or two of one name")
            found[called] = clean(base64.b64decode(text, validate=True))
        except (NoPhoto, ValueError) as error:
            refused.append(Refused(called, str(error)))
    return found, tuple(refused)


def _refuse(record: Path, found: str, wanted: str = WANTED) -> BuildProblems:
    return BuildProblems([Problem(record.name[:200], "", found, wanted)])


def _read(record: Path) -> _Links:
    """Return what rides along in a page, as it stands there."""
    try:
        size = record.stat().st_size
        if size > PAGE_BYTES:
            raise _refuse(record, f"a file of {math.ceil(size / 2**20)} MB", f"at most {PAGE_BYTES // 2**20} MB")
        links = _Links()
        links.feed(record.read_text(encoding="utf-8", errors="replace"))
        links.close()
    except BuildProblems:
        raise
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise _refuse(record, f"a file that cannot be read ({why})") from None
    return links


def _file_in(record: Path) -> tuple[str, bytes]:
    links = _read(record)
    if len(links.found) != 1:
        raise _refuse(record, f"{len(links.found)} build files in it" if links.found else "no build file in it")
    name, text = links.found[0]
    if len(text) > FILE_BYTES * 4 // 3 + 4:
        raise _refuse(
            record, f"a build file of {math.ceil(len(text) * 3 / 4096)} KB", f"at most {FILE_BYTES // 1024} KB"
        )
    try:
        return name, base64.b64decode(text, validate=True)
    except binascii.Error:
        raise _refuse(record, "a build file that is damaged") from None


__all__ = ["PAGE_BYTES", "PHOTO", "PICTURE", "SCHEME", "link", "photos_in", "taken_out"]
