"""Files put in place of others so that each is old or new at every moment, and a value that was acknowledged stays.

A save changes two files, the build and its previous version, and no system replaces two at once. So the
version that becomes the previous one is first written under a name that tells of which new build it is the
forerunner. Then the build is replaced, then that name is moved to the previous version. A save that is cut
off between the two is completed by the next one; one that is cut off before them has changed nothing.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
from pathlib import Path

from jackshaft.buildfile.problems import NotSaved

PREVIOUS = ".previous"
WRITING = ".writing"
_BEFORE = ".before" + WRITING


def digest(data: bytes) -> str:
    """Return the checksum by which a change on disk is noticed."""
    return hashlib.sha256(data).hexdigest()


def real_file(path: Path) -> Path:
    """Return the file itself where ``path`` leads over links."""
    return Path(os.path.realpath(path))


def previous_of(path: Path) -> Path:
    """Return where the version before the present one is kept: beside the file itself, wherever links lead."""
    real = real_file(path)
    return real.with_name(real.name + PREVIOUS)


def refusal(path: Path, error: OSError, stands: str) -> NotSaved:
    """Return what the disk refused: what happened, what still ``stands``, and what to do."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        todo = "Free some room on the disk, then save again."
    elif error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        todo = "Get leave to write in its folder, or copy the build into a folder of your own, then save again."
    else:
        todo = "Look whether the disk and its folder are there, then save again."
    return NotSaved(f"{path.name} could not be written ({error.strerror}). {stands} {todo}")


def write_atomic(path: Path, data: bytes) -> None:
    """Write ``data`` beside ``path`` and move it there, so that no half-written file is ever seen.

    Raises
    ------
    NotSaved
        If the disk refuses; what stood at ``path`` still stands.
    """
    fresh = _beside(path)
    try:
        _write(fresh, data, _like(path))
        os.replace(fresh, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise refusal(path, error, "The old file is unchanged.") from error
    finally:
        _forget(fresh)


def write_new(path: Path, data: bytes) -> bool:
    """Write a file that must not be there yet; tell whether it was not.

    Raises
    ------
    NotSaved
        If the disk refuses; nothing is written then.
    """
    fresh = _beside(path)
    try:
        _write(fresh, data, None)
        try:
            os.link(fresh, path)
        except FileExistsError:
            return False
        except OSError:
            # A folder without hard links; the lock keeps other workbooks out meanwhile.
            if os.path.lexists(path):
                return False
            os.replace(fresh, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise refusal(path, error, "Nothing was written.") from error
    finally:
        _forget(fresh)
    return True


def replace_both(real: Path, old: bytes, new: bytes) -> None:
    """Put ``new`` in place of the file and ``old``, which stands there now, in place of its previous version.

    When this returns, both are on the disk. Mode and owner are those of the file.

    Raises
    ------
    NotSaved
        If the disk refuses; both files are as they were.
    """
    fresh = _beside(real)
    before = real.with_name(f".{real.name}.{digest(new)[:16]}{_BEFORE}")
    moved = False
    try:
        like = _like(real)
        _forget(before)
        _write(before, old, like)
        _write(fresh, new, like)
        os.replace(fresh, real)
        moved = True
        _sync_folder(real.parent)
        # What is said after this is true: should the machine stop now, the next save completes the move.
        os.replace(before, real.with_name(real.name + PREVIOUS))
    except OSError as error:
        if moved:
            _undo(real, before, error)
        _forget(before)
        raise refusal(real, error, "The old file is unchanged.") from error
    finally:
        _forget(fresh)


def _undo(real: Path, before: Path, error: OSError) -> None:
    try:
        os.replace(before, real)
    except OSError:
        raise NotSaved(
            f"{real.name} was written, but its previous version could not be kept under its own name "
            f"({error.strerror}). It is in {before.name}."
        ) from error


def tidy(real: Path, now: bytes) -> None:
    """Complete or take away what a save that was cut off left beside a file; its lock must be held.

    Parameters
    ----------
    real : Path
        The file itself.
    now : bytes
        What stands in it.
    """
    # What cannot be taken away is in nobody's way, so it is no reason not to save.
    with contextlib.suppress(OSError), os.scandir(real.parent) as there:
        left = [e.name for e in there if e.name.startswith(f".{real.name}.") and e.name.endswith(WRITING)]
        for name in left:
            if name == f".{real.name}.{digest(now)[:16]}{_BEFORE}":
                os.replace(real.with_name(name), real.with_name(real.name + PREVIOUS))
            else:
                os.unlink(real.with_name(name))


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.{secrets.token_hex(6)}{WRITING}")


def _like(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except FileNotFoundError:
        return None


def _write(path: Path, data: bytes, like: os.stat_result | None) -> None:
    """Write a file that is not there yet through to the disk, with the mode and owner of another."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600 if like else 0o666)
    with os.fdopen(handle, "wb") as out:
        if like is not None:
            _give(path, like)
        out.write(data)
        out.flush()
        os.fsync(out.fileno())


def _give(path: Path, like: os.stat_result) -> None:
    if hasattr(os, "chown"):
        made = path.stat()
        for uid, gid in ((like.st_uid, -1), (-1, like.st_gid)):
            if (uid, gid) not in ((made.st_uid, -1), (-1, made.st_gid)):
                # Only root gives files away; the file then belongs to whoever saved it.
                with contextlib.suppress(PermissionError):
                    os.chown(path, uid, gid)
    os.chmod(path, like.st_mode & 0o7777)


def _sync_folder(folder: Path) -> None:
    """See to it that a rename is on the disk."""
    if os.name == "nt":
        return  # a folder cannot be opened there
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        # Some shared folders know no such thing; they write a rename through by themselves.
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.ENOSYS):
            raise
    finally:
        os.close(handle)


def _forget(path: Path) -> None:
    with contextlib.suppress(OSError):  # gone already, or left for the next save to take away
        os.unlink(path)
