"""One save at a time: a lock of the system over a file, between threads and between processes.

The lock is held on a file of its own beside the build, ``.NAME.toml.lock``, because the build itself is
replaced by every save. The system drops it when its holder ends, however that happens. The file is taken
away at the end of each save, so whoever gets the lock looks whether the file still stands there.
"""

from __future__ import annotations

import contextlib
import errno
import os
import random
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from jackshaft.buildfile.problems import NotSaved

try:
    import fcntl
except ImportError:  # Windows
    import msvcrt

    fcntl = None

#: Seconds that a save waits for another one.
PATIENCE = 60.0

LOCK = ".lock"

#: What the system answers where a folder knows no locks.
_NO_LOCKS = {errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL, errno.ENOLCK}

_BUSY = {errno.EAGAIN, errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK}

#: Some network folders lock by process, so the threads of one process take turns here first. A thread may take
#: it twice, so that one that was interrupted at the wrong moment does not shut itself out.
_turn = threading.RLock()


def _fresh_turn() -> None:
    # A child that was forked while another thread held the turn would wait for ever.
    global _turn
    _turn = threading.RLock()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_fresh_turn)


@dataclass
class _Hold:
    """The open file of a lock, and whether the lock is ours; noted at once, so that an interrupt leaves none held."""

    handle: int | None = None
    ours: bool = False

    def close(self) -> None:
        handle, self.handle, self.ours = self.handle, None, False
        if handle is not None:
            os.close(handle)


#: What each thread holds, by thread and file.
_holds: dict[tuple[int, Path], _Hold] = {}


def _fresh_hold(real: Path) -> _Hold:
    key, hold = (threading.get_ident(), real), _Hold()
    left = _holds.get(key)
    _holds[key] = hold
    if left is not None:
        # Only an interrupt while it was letting go can leave one; it would shut this thread out for good.
        left.close()
    return hold


def lock_of(real: Path) -> Path:
    """Return the path of the lock of a file."""
    return real.with_name(f".{real.name}{LOCK}")


@contextlib.contextmanager
def held(real: Path, patience: float | None = None) -> Iterator[None]:
    """Hold the lock of a file.

    Parameters
    ----------
    real : Path
        The file itself, not a link to it.
    patience : float, optional
        Seconds to wait for another holder; 60 when not said.

    Raises
    ------
    NotSaved
        If another holds it all that time, or the folder takes no lock.

    Notes
    -----
    Within it the same thread must not take the lock of the same file again.
    """
    end = time.monotonic() + (PATIENCE if patience is None else patience)
    turn = _turn
    if not turn.acquire(timeout=max(0.0, end - time.monotonic())):
        raise _busy(real)
    try:
        hold = _fresh_hold(real)
        try:
            _take(real, hold, end)
            yield
        finally:
            _let_go(real, hold)
    finally:
        turn.release()


def _busy(real: Path) -> NotSaved:
    return NotSaved(
        f"Another window or program is still saving {real.name}. Nothing was written. Save again in a moment."
    )


def _take(real: Path, hold: _Hold, end: float) -> None:
    path = lock_of(real)
    while True:
        try:
            hold.handle = _opened(path)
        except OSError as error:
            if os.name == "nt" and error.errno == errno.EACCES and time.monotonic() < end:
                time.sleep(0.02)  # another save is taking the file away
                continue
            raise NotSaved(
                f"{real.name} could not be written: its folder takes no new file ({error.strerror}). Nothing was "
                "written. Free some room on the disk, or get leave to write in the folder, then save again."
            ) from error
        if _locked(real, hold.handle) and _still_there(path, hold.handle):
            hold.ours = True
            return
        hold.close()
        if time.monotonic() > end:
            raise _busy(real)
        time.sleep(random.uniform(0.001, 0.015))


def _opened(path: Path) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
    except PermissionError:
        # Left by another user whose save was cut off: to lock it, reading is enough.
        with contextlib.suppress(OSError):
            return os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
        raise


def _locked(real: Path, handle: int) -> bool:
    try:
        if fcntl is not None:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    except OSError as error:
        if error.errno in _BUSY:
            return False
        if error.errno in _NO_LOCKS:
            with contextlib.suppress(OSError):  # an empty file that nobody needs
                os.unlink(lock_of(real))
            raise NotSaved(
                f"{real.name} is in a folder that cannot lock files ({error.strerror}), so two saves at once could "
                "overwrite each other. Nothing was written. Move the builds to a folder on a disk of this machine."
            ) from error
        raise NotSaved(
            f"{real.name} could not be locked ({error.strerror}). Nothing was written. Save again."
        ) from error
    return True


def _still_there(path: Path, handle: int) -> bool:
    """Tell whether the file that is locked is the one that others would lock now."""
    try:
        there = os.stat(path, follow_symlinks=False)
    except FileNotFoundError:
        return False
    return os.path.samestat(there, os.fstat(handle))


def _let_go(real: Path, hold: _Hold) -> None:
    # Taken away while it is held, so that nobody else's is; Windows lets no open file go, so there it comes last.
    ours, handle = hold.ours, hold.handle
    if ours and fcntl is not None:
        with contextlib.suppress(OSError):  # a file that stays is used again by the next save
            os.unlink(lock_of(real))
        with contextlib.suppress(OSError):  # closing it lets go too
            fcntl.flock(handle, fcntl.LOCK_UN)
    if ours and fcntl is None:
        with contextlib.suppress(OSError):
            msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
    hold.close()
    if ours and fcntl is None:
        with contextlib.suppress(OSError):
            os.unlink(lock_of(real))
    _holds.pop((threading.get_ident(), real), None)
