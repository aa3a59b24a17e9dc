"""The folder of photographs beside a build file: read with care, written atomically.

What lies in it may come from a stranger. Only plain files of the folder itself are read, never what a link leads to;
their names are shown as words and never followed. A file that is put in there by hand stays as it is; what the record
shows is a clean copy.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import time
import unicodedata
from pathlib import Path
from typing import NamedTuple

from jackshaft.buildfile import Build, BuildProblems, Problem
from jackshaft.buildfile.disk import WRITING, real_file, write_new
from jackshaft.photos.cleaning import FILE_BYTES, NoPhoto, clean
from jackshaft.photos.slots import SLOTS, Slot, slot_of

FOLDER = ".photos"
#: Photographs of a record, and names of a folder that are looked at.
MOST, NAMES = 24, 400
#: Bytes of a file's name, without its ending.
NAME_BYTES = 120
#: A save that was cut off leaves what it wrote; after so many seconds the next one takes it away.
LEFT = 3600
#: Names that Windows keeps for devices, whatever comes after a point.
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", re.IGNORECASE)


class Photo(NamedTuple):
    """A photograph as the record shows it: its file's name, slot, words of its own, and its bytes, a plain JPEG."""

    name: str
    slot: Slot
    words: str
    data: bytes

    @property
    def caption(self) -> str:
        """What stands below it."""
        head = "" if self.slot.name == "other" and self.words else self.slot.name
        text = ", ".join(filter(None, (head, self.words)))
        return text[:1].upper() + text[1:]


class Refused(NamedTuple):
    """A file that is not shown, and why."""

    name: str
    why: str


class Taken(NamedTuple):
    """What a folder holds: what is shown, in the order of the record, and what is not."""

    photos: tuple[Photo, ...] = ()
    refused: tuple[Refused, ...] = ()


def folder_of(build: Build) -> Path | None:
    """Return the folder of a build's photographs, whether it is there or not; None for a build without a file."""
    return None if build.path is None else beside(build.path)


def beside(path: Path) -> Path:
    """Return the folder of the photographs of the build file at a path."""
    real = real_file(path)
    return real.with_name(real.stem + FOLDER)


def photos(build: Build) -> Taken:
    """Return the photographs of a build, cleaned, and the files that cannot be shown, with why."""
    folder = folder_of(build)
    if folder is None or not os.path.lexists(folder):
        return Taken()
    if folder.is_symlink() or not folder.is_dir():
        return Taken((), (Refused(folder.name, "found a link or a file; wanted a folder of its own"),))
    try:
        # what begins with a point is no photograph: the systems' own, and what is being written
        names = sorted(n for n in os.listdir(folder) if not n.startswith("."))
    except OSError as error:
        return Taken((), (Refused(folder.name, f"found a folder that cannot be read ({error.strerror})"),))
    shown, refused, used = [], [], set()
    for name in names[:NAMES]:
        try:
            data = clean(_read(folder / name))
        except NoPhoto as error:
            refused.append(Refused(name, str(error)))
        except OSError as error:
            refused.append(Refused(name, f"found a file that cannot be read ({error.strerror})"))
        else:
            called = _free(safe_name(name), used)
            used.add(called.lower())
            shown.append(Photo(called, *slot_of(Path(called).stem), data))
    shown.sort(key=_place)
    beyond = [Refused(p.name, f"found more than {MOST} photographs; take some out") for p in shown[MOST:]]
    beyond += [Refused(n, f"found more than {NAMES} files; take some out") for n in names[NAMES:]]
    return Taken(tuple(shown[:MOST]), (*refused, *beyond))


def _place(photo: Photo) -> tuple:
    """Return what a photograph is ordered by: its slot, then its name, numbers in it by their size."""
    parts = re.split(r"([0-9]+)", photo.name.removesuffix(".jpg").lower())
    return SLOTS.index(photo.slot), [(i % 2, int(p) if i % 2 else 0, p) for i, p in enumerate(parts)]


def _read(path: Path) -> bytes:
    """Return what a plain file of the folder holds; what is no plain file is refused before it is opened or read."""
    if not stat.S_ISREG(os.lstat(path).st_mode):
        raise NoPhoto("found a link, a folder or a device; wanted a plain file")
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise NoPhoto("found a link, a folder or a device; wanted a plain file")
        return file.read(FILE_BYTES + 1)


def safe_name(name: str) -> str:
    """Return a file's name as one that every system can have and that leads nowhere, ending in ``.jpg``."""
    stem = unicodedata.normalize("NFC", name).rpartition(".")[0] or name
    stem = "".join(c if c.isalnum() or unicodedata.category(c)[0] == "M" or c in " _-(),+." else " " for c in stem)
    stem = _trimmed(_trimmed(stem).encode()[:NAME_BYTES].decode(errors="ignore"))
    return f"{f'photo {stem}' if _DEVICES.match(stem) else stem or 'photo'}.jpg"


def _trimmed(stem: str) -> str:
    return " ".join(stem.split()).strip(" .,-_")


def _free(name: str, used: set[str]) -> str:
    """Return a name that is not used yet, with the least number behind it that makes it so."""
    stem, number, found = name.removesuffix(".jpg"), 1, name
    while found.lower() in used:
        number += 1
        found = f"{stem} {number}.jpg"
    return found


def add(build: Build, slot: Slot, words: str, data: bytes) -> Path:
    """Put a photograph into the build's folder under the name of its slot; return its path.

    It is cleaned first, so what only the original held is never on the disk. Nothing that is there is written over.

    Raises
    ------
    NoPhoto
        If it is no photograph, or the folder is full or a link.
    NotSaved
        If the disk refuses; nothing is lost then, and no half of it is ever seen.
    """
    folder = folder_of(build)
    if folder is None:
        raise NoPhoto("found a build without a file; wanted one that is kept in a file")
    made = clean(data)
    wanted = safe_name(f"{slot.name} {' '.join(words.split())}.jpg" if words.strip() else f"{slot.name}.jpg")
    _make(folder)
    there = {n.lower() for n in os.listdir(folder)}
    if sum(not n.startswith(".") for n in there) >= MOST:
        raise NoPhoto(f"found {MOST} photographs already; wanted fewer: take one out of {folder.name} first")
    while True:
        name = _free(wanted, there)
        if write_new(folder / name, made):
            return folder / name
        there.add(name.lower())  # somebody else took it just now


def _make(folder: Path) -> None:
    """Make the folder, and take away what an older save that was cut off left in it."""
    if folder.is_symlink() or (os.path.lexists(folder) and not folder.is_dir()):
        raise NoPhoto(f"found a link or a file called {folder.name}; wanted a folder: take it away first")
    folder.mkdir(exist_ok=True)
    # what cannot be taken away is in nobody's way
    with contextlib.suppress(OSError):
        for path in folder.glob(f".*{WRITING}"):
            if time.time() - path.lstat().st_mtime > LEFT:
                path.unlink()


def in_place(path: Path, found: dict[str, bytes]) -> None:
    """Refuse photographs of a record that would meet other ones beside a build file that is to be written.

    Parameters
    ----------
    path : Path
        The build file.
    found : dict of str to bytes
        Their names, which are safe ones, and their bytes.

    Raises
    ------
    BuildProblems
        If the folder is no folder, or holds another file of one of the names.
    """
    folder = beside(path)
    if not os.path.lexists(folder):
        return
    if folder.is_symlink() or not folder.is_dir():
        raise BuildProblems([Problem(folder.name, "", "a link or a file", "no such thing, or a folder")])
    others = [
        name
        for name, data in found.items()
        if os.path.lexists(folder / name)
        and ((folder / name).is_symlink() or not (folder / name).is_file() or (folder / name).read_bytes() != data)
    ]
    if others:
        wanted = "no other file of that name; no photograph is written over"
        raise BuildProblems([Problem(folder.name, "", name, wanted) for name in others])


def put_new(path: Path, found: dict[str, bytes]) -> Path | None:
    """Put the photographs of a record beside a build file; what is there already is left. Return the folder.

    Raises
    ------
    NotSaved
        If the disk refuses.
    """
    if not found:
        return None
    folder = beside(path)
    folder.mkdir(exist_ok=True)
    for name, data in found.items():
        write_new(folder / name, data)
    return folder


__all__ = [
    "FOLDER",
    "MOST",
    "Photo",
    "Refused",
    "Taken",
    "add",
    "beside",
    "folder_of",
    "in_place",
    "photos",
    "put_new",
    "safe_name",
]
