"""What a save leaves of the file: links, modes, line ends, a byte order mark; locks; what a cut off save left."""

from __future__ import annotations

import codecs
import errno
import os
import subprocess
import sys
import threading
import time

import pytest
from jackshaft.buildfile import BuildProblems, NotSaved, create, load, locking, previous_of
from jackshaft.buildfile.disk import digest

TEXT = """# first
notes = "n"
schema = 1
name = "x"

[circuit]
fuse = "10 A"  # behind
# last
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def keep(path, text="15 A"):
    return load(path).save_values({"circuit.fuse": text, "circuit.wire": "16 AWG"})


def test_key_order_and_comments_stay(file):
    keep(file)
    assert file.read_text() == TEXT.replace('"10 A"', '"15 A"').replace("# behind\n", '# behind\nwire = "16 AWG"\n')


@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8], ids=["plain", "BOM"])
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["LF", "CRLF"])
@pytest.mark.parametrize("last", [True, False], ids=["closed", "open end"])
def test_line_ends_and_a_byte_order_mark_stay(file, mark, end, last):
    text = TEXT if last else TEXT.rstrip("\n")
    old = mark + text.replace("\n", end).encode()
    file.write_bytes(old)
    new = keep(file)
    written = file.read_bytes()
    assert written.startswith(mark) and written.count(codecs.BOM_UTF8) == (1 if mark else 0)
    assert written.count(b"\r\n") == (written.count(b"\n") if end == "\r\n" else 0)
    assert new.digest == digest(written) and load(file).values == new.values
    new.save_values({"circuit.fuse": "10 A", "circuit.wire": ""})
    # Back again it is the same file, but for the line end that its last line lacked.
    assert file.read_bytes() in (old, old + end.encode())


def test_mixed_line_ends_are_left_as_they_are(file):
    file.write_bytes(TEXT.replace("# first\n", "# first\r\n").encode())
    keep(file)
    assert file.read_bytes().startswith(b"# first\r\nnotes") and file.read_bytes().count(b"\r\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="modes and links of POSIX")
class TestLinksAndModes:
    @pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o444, 0o755])
    def test_the_mode_stays_also_for_the_previous_version(self, file, mode):
        file.chmod(mode)
        keep(file)
        assert file.stat().st_mode & 0o7777 == previous_of(file).stat().st_mode & 0o7777 == mode

    @pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root gives files away")
    def test_the_owner_stays(self, file):
        os.chown(file, 12345, 54321)
        file.chmod(0o2640)
        keep(file)
        found = file.stat()
        assert (found.st_uid, found.st_gid, found.st_mode & 0o7777) == (12345, 54321, 0o2640)

    @pytest.mark.parametrize("steps", [1, 2])
    def test_a_link_stays_and_what_it_leads_to_is_written(self, file, tmp_path, steps):
        (tmp_path / "here").mkdir()
        link, target = tmp_path / "here" / "link.toml", file
        for n in range(steps):
            link = tmp_path / "here" / f"link{n}.toml"
            link.symlink_to(target if n else os.path.relpath(target, link.parent))
            target = link
        before = file.read_bytes()
        new = load(link).save_values({"circuit.fuse": "15 A"})
        assert link.is_symlink() and not file.is_symlink() and new.path == link
        assert load(file).get("circuit.fuse").text == "15 A"
        assert previous_of(link) == previous_of(file) == file.with_name("small.toml.previous")
        assert previous_of(file).read_bytes() == before
        assert sorted(p.name for p in link.parent.iterdir()) == [f"link{n}.toml" for n in range(steps)]

    def test_two_links_to_one_file_share_its_lock(self, file, tmp_path):
        link = tmp_path / "link.toml"
        link.symlink_to(file)
        with locking.held(file), pytest.raises(NotSaved, match="still saving"):
            saved_elsewhere(link)

    def test_no_build_is_made_over_a_link_that_leads_nowhere(self, tmp_path):
        link = tmp_path / "new.toml"
        link.symlink_to(tmp_path / "gone.toml")
        with pytest.raises(BuildProblems, match="no build is overwritten"):
            create(link, TEXT)
        assert link.is_symlink() and not (tmp_path / "gone.toml").exists()


SAVE = """
import sys
from jackshaft.buildfile import NotSaved, load, locking
locking.PATIENCE = 0.2
try:
    load(sys.argv[1]).save_values({"notes": sys.argv[2]})
except NotSaved as error:
    sys.exit(str(error))
"""


def saved_elsewhere(path, text="from elsewhere"):
    """Save in another process."""
    done = subprocess.run([sys.executable, "-c", SAVE, str(path), text], capture_output=True, text=True)
    if done.returncode:
        raise NotSaved(done.stderr)


def in_a_thread(path):
    """Take the lock in another thread of this program; return what it was refused with."""
    said = []

    def take():
        try:
            with locking.held(path, 0.05):
                pass
        except NotSaved as error:
            said.append(str(error))

    one = threading.Thread(target=take)
    one.start()
    one.join()
    return said


def test_who_waits_too_long_is_told(file):
    before = file.read_bytes()
    with locking.held(file):
        with pytest.raises(NotSaved, match="Another window or program is still saving small.toml"):
            saved_elsewhere(file)
        begun = time.monotonic()
        said = in_a_thread(file)
        assert len(said) == 1 and "still saving" in said[0]
        assert time.monotonic() - begun < 5
    assert file.read_bytes() == before and in_a_thread(file) == []
    saved_elsewhere(file)
    assert load(file).get("notes") == "from elsewhere"
    assert [p.name for p in file.parent.iterdir() if ".lock" in p.name] == []


def test_what_was_left_behind_is_cleaned_up_and_nothing_else(file):
    ours = [".small.toml.abc.writing", ".small.toml.0123456789abcdef.before.writing", ".small.toml.lock"]
    others = [".other.toml.abc.writing", "small.toml.abc.writing", ".small.toml", "small.toml.bak"]
    for name in (*ours, *others):
        file.with_name(name).write_text("left")
    keep(file)
    there = {p.name for p in file.parent.iterdir()}
    assert there == {"small.toml", "small.toml.previous", *others}


def test_a_save_that_was_cut_between_its_two_moves_is_completed(file):
    keep(file)
    before, now = b"the version before", file.read_bytes()
    file.with_name(f".small.toml.{digest(now)[:16]}.before.writing").write_bytes(before)
    load(file).save_values({"circuit.fuse": "15 A"})  # changes nothing, so that one sees what was completed
    assert previous_of(file).read_bytes() == before and file.read_bytes() == now


@pytest.mark.skipif(locking.fcntl is None, reason="locks of POSIX")
@pytest.mark.parametrize("code", [errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS])
def test_a_folder_that_knows_no_locks_is_named_and_nothing_is_written(file, monkeypatch, code):
    def flock(*_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(locking.fcntl, "flock", flock)
    with pytest.raises(NotSaved, match="cannot lock files .* Move the builds"):
        keep(file)
    assert file.read_text() == TEXT and [p.name for p in file.parent.iterdir()] == ["small.toml"]


def test_a_file_that_is_gone_is_not_made_again(file):
    build = load(file)
    file.unlink()
    with pytest.raises(NotSaved, match="cannot be read any more"):
        build.save_values({"notes": "m"})
    assert list(file.parent.iterdir()) == []
    file.parent.rmdir()
    with pytest.raises(NotSaved, match="Nothing was written"):
        build.save_values({"notes": "m"})


CREATE = """
import sys, time
from jackshaft.buildfile import BuildProblems, create
from pathlib import Path
print("ready", flush=True)
sys.stdin.readline()
for n in range(int(sys.argv[3])):
    try:
        create(Path(sys.argv[1]) / f"new{n}.toml", f'schema = 1\\nname = "{sys.argv[2]}"\\n')
        print("made", n, flush=True)
    except BuildProblems as error:
        assert "no build is overwritten" in str(error), error
"""


def test_of_two_who_make_one_name_one_wins(tmp_path):
    call = [sys.executable, "-c", CREATE, str(tmp_path)]
    both = [
        subprocess.Popen([*call, who, "40"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) for who in "ab"
    ]
    assert [one.stdout.readline() for one in both] == ["ready\n"] * 2
    for one in both:
        one.stdin.write("go\n")
        one.stdin.flush()
    made = [one.communicate(timeout=60)[0].split("\n")[:-1] for one in both]
    assert [one.returncode for one in both] == [0, 0]
    assert sorted(made[0] + made[1]) == sorted(f"made {n}" for n in range(40))
    for who, lines in zip("ab", made, strict=True):
        assert all(load(tmp_path / f"new{line.split()[1]}.toml").name == who for line in lines)
    assert len(list(tmp_path.iterdir())) == 40
