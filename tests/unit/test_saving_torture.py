"""Kill, full disk, two writers and a read-only folder, done for real.

Some tens of rounds here; ``JACKSHAFT_TORTURE=300`` makes it as many as it says. Each trial runs in a
process of its own that forks (see ``saving_torture.py``).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

ROUNDS = int(os.environ.get("JACKSHAFT_TORTURE", "40"))
PROGRAM = Path(__file__).with_name("saving_torture.py")

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="forks, which this system does not know")


@pytest.fixture
def folder():
    """A folder that every user may enter, unlike those of pytest."""
    made = Path(tempfile.mkdtemp(prefix="jackshaft-torture-"))
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


def run(trial: str, folder: Path, rounds: int = ROUNDS, seed: int = 9) -> dict:
    call = [sys.executable, str(PROGRAM), trial, str(rounds), str(folder), str(seed)]
    done = subprocess.run(call, capture_output=True, text=True, timeout=60 + 10 * rounds)
    assert done.returncode == 0, done.stderr[-4000:]
    counts = json.loads(done.stdout)
    print(trial, counts)
    return counts


@pytest.fixture
def mounted(folder):
    """Mount a file system of 64 kB on a folder; where that is not allowed the test is skipped."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("only root mounts a small file system")
    place = folder / "small"
    place.mkdir()
    call = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)]
    if subprocess.run(call, capture_output=True).returncode:
        pytest.skip("mounting is not allowed here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_killed_save_loses_nothing_and_blocks_nobody(folder):
    counts = run("kill", folder)
    assert counts["kills"] == ROUNDS and counts["cut in the middle of a save"] > 0


def test_an_interrupted_save_loses_nothing_and_the_next_one_goes_on(folder):
    assert run("interrupted", folder)["interrupts"] == ROUNDS


def test_a_save_killed_at_any_of_its_steps_leaves_both_files_whole(folder):
    # a lock, two files of which each is made, written through and moved, and the folder written through
    assert run("kill_at", folder)["points"] >= 2 * 9


def test_writers_of_different_keys_lose_nothing(folder):
    counts = run("writers", folder)
    assert counts["acknowledged"] >= ROUNDS and counts["lost"] == 0


def test_writers_of_one_key_overwrite_only_what_they_have_seen(folder):
    counts = run("one_key", folder, 3 * ROUNDS)
    assert counts["acknowledged"] >= 3 * ROUNDS and counts["lost"] == 0 and counts["asked"] > 0


def test_writers_beside_one_that_is_killed_lose_nothing(folder):
    assert run("killed_writers", folder) | {"seconds": 0} == {"kills": ROUNDS, "lost": 0, "seconds": 0}


def test_a_limit_on_the_size_of_files_leaves_both_files(folder):
    assert run("limited", folder)["refused"] > 0


def test_a_full_disk_leaves_both_files(mounted):
    assert run("full", mounted)["refused"] > 0


def test_whichever_call_fails_both_files_stay(folder):
    assert run("failing", folder)["points"] >= 8


def test_a_folder_that_may_not_be_written(folder):
    assert run("read_only", folder)["refused"] == ROUNDS


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can be two users")
def test_a_lock_that_another_user_left_shuts_nobody_out(folder):
    assert run("strange_lock", folder, 5)["saves"] == 5


def test_a_folder_that_is_mounted_read_only(mounted):
    run("limited", mounted, 1)
    subprocess.run(["mount", "-o", "remount,ro", str(mounted)], check=True)
    call = [sys.executable, "-c", READ_ONLY, str(mounted / "tortured.toml")]
    done = subprocess.run(call, capture_output=True, text=True)
    assert done.returncode == 0 and "takes no new file" in done.stdout, done.stdout + done.stderr


READ_ONLY = """
import sys
from jackshaft.buildfile import NotSaved, load
try:
    load(sys.argv[1]).save_values({"notes": "new"})
except NotSaved as error:
    print(error)
"""
