"""The folder that a record is written to: all of it or nothing, and never over what it did not make.

A list of what was made, with checksums, lies in the folder. By it the next run knows which files are its own:
those it replaces or, where it makes them no more, takes away. What somebody changed by hand is put aside, not lost.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from jackshaft import tables
from jackshaft.buildfile import NotSaved

LIST = ".jackshaft_record.json"
STAGING = ".jackshaft_record.writing-"


class NotOurs(ValueError):
    """A folder that a record may not be written to; nothing was written. The words say why, and what to do."""


@dataclass(frozen=True)
class Changed:
    """What became of older files: taken away, or changed by hand and so put aside under another name."""

    gone: tuple[str, ...] = ()
    aside: tuple[tuple[str, str], ...] = ()


def folder_of(out: os.PathLike | str) -> Path:
    """Return the folder that was asked for, ``~`` written out.

    Raises
    ------
    NotOurs
        If no folder can be called so.
    """
    try:
        folder = Path(out).expanduser()
        folder.is_dir()
        os.path.realpath(folder)
    except (RuntimeError, ValueError) as error:
        # the home of somebody who is not known, or a character that no name can have
        why = str(error).rstrip(".")
    except OSError as error:
        why = error.strerror
    else:
        return folder
    raise NotOurs(f"'{str(out)[:60]}' cannot be the name of a folder ({why}). Name a folder to write the record to.")


def check_place(folder: Path) -> None:
    """Refuse a folder that belongs to the project or is no folder.

    Raises
    ------
    NotOurs
        With the reason.
    """
    real = Path(os.path.realpath(folder))
    for part in (real, *real.parents):
        if part.exists() and not part.is_dir():
            raise NotOurs(f"{part.name} is a file. Name a folder to write the record to.")
    for home in _homes():
        records = home / "data" / "records"
        inside = real == home or home in real.parents
        if inside and records not in real.parents:
            raise NotOurs(
                f"{real.name} is a folder of the workbook itself. Name a folder of your own, or one in data/records."
            )
    lib = Path(__file__).resolve().parents[1]
    if real == lib or lib in real.parents:
        raise NotOurs(f"{real.name} is a folder of the program itself. Name a folder of your own.")


def _homes() -> set[Path]:
    """The top folders of the workbook: above the package, and above the data where those lie elsewhere."""
    homes = {Path(os.path.realpath(tables.data_dir())).parent}
    top = Path(__file__).resolve().parents[3]
    if (top / "notebooks").is_dir() and (top / "lib").is_dir():
        homes.add(top)
    return homes


def check_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Refuse where a file of the record would replace one that no record made.

    Raises
    ------
    NotOurs
        Naming the files that are in the way.
    """
    made, taken = _listed(folder), []
    for name in files:
        target = folder / name
        for place in (target, *(p for p in target.parents if folder in p.parents)):
            if place.is_symlink():
                raise NotOurs(
                    f"{place.relative_to(folder).as_posix()} is a link to another place. Take that link away first."
                )
        if target.is_dir() or any(p.exists() and not p.is_dir() for p in target.parents if folder in p.parents):
            taken.append(name)
        elif target.exists() and name not in made:
            taken.append(name)
    if taken:
        shown = ", ".join(taken[:5]) + (f" and {len(taken) - 5} more" if len(taken) > 5 else "")
        raise NotOurs(
            f"{folder.name} already holds {shown}, which no record made. Name an empty folder, or one that holds an "
            "older record."
        )


def write_files(folder: Path, files: Mapping[str, bytes]) -> Changed:
    """Write the files of a record, all of them or none, and put away what an earlier one made and this one does not.

    Parameters
    ----------
    folder : Path
        Where to; it is made when it is not there.
    files : mapping of str to bytes
        Paths below the folder, with slashes.

    Raises
    ------
    NotOurs
        If the place is not for records, or something that no record made is in the way.
    NotSaved
        If the disk refuses; what stood there before still stands.
    """
    check_place(folder)
    check_files(folder, files)
    staging = None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for old in folder.glob(f"{STAGING}*"):
            shutil.rmtree(old, ignore_errors=True)
        staging = Path(tempfile.mkdtemp(prefix=STAGING, dir=folder))
        for name, data in files.items():
            _write(staging / name, data)
        listed = {name: _sum(data) for name, data in files.items()}
        made = _listed(folder)
        # From here on there is nothing left to write but the list, which names the old files too until they are gone.
        _write(staging / LIST, _text({**made, **listed}))
        _write(staging / "last" / LIST, _text(listed))
        changed = _put_aside(folder, made, files)
        os.replace(staging / LIST, folder / LIST)
        for name in files:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            os.replace(staging / name, folder / name)
        os.replace(staging / "last" / LIST, folder / LIST)
    except OSError as error:
        raise NotSaved(
            f"The record could not be written into {folder.name} ({error.strerror}). What was there is unchanged. "
            "Free some room on the disk, or name another folder, then make it again."
        ) from error
    finally:
        if staging is not None:
            shutil.rmtree(staging, ignore_errors=True)
    return changed


def _put_aside(folder: Path, made: Mapping[str, str], files: Mapping[str, bytes]) -> Changed:
    gone, aside = [], []
    for name, checksum in made.items():
        there = folder / name
        # What lies beyond a link was made by somebody else, whatever the list says.
        if any(p.is_symlink() for p in (there, *there.parents) if folder in p.parents) or not there.is_file():
            continue
        if _sum(there.read_bytes()) != checksum:
            other = _free(there)
            os.replace(there, other)
            aside.append((name, other.relative_to(folder).as_posix()))
        elif name not in files:
            there.unlink()
            gone.append(name)
    return Changed(tuple(gone), tuple(aside))


def _free(path: Path) -> Path:
    number = 1
    while (other := path.with_name(f"{path.stem}.changed_by_hand_{number}{path.suffix}")).exists():
        number += 1
    return other


def _listed(folder: Path) -> dict[str, str]:
    """Return what an earlier record made here; nothing where the list is gone or damaged."""
    try:
        made = json.loads((folder / LIST).read_text(encoding="utf-8"))["made"]
        return {str(k): str(v) for k, v in made.items() if _plain(str(k))}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _plain(name: str) -> bool:
    """Tell whether a name in the list stays below the folder: the list may come from a stranger."""
    return bool(name) and not name.startswith(("/", "\\")) and ".." not in Path(name).parts and ":" not in name


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())


def _text(made: Mapping[str, str]) -> bytes:
    return (json.dumps({"made": dict(sorted(made.items()))}, indent=1) + "\n").encode()


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
