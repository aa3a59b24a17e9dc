"""Saves that are killed, raced, starved of disk and locked out, for real; run as a program of its own.

``python saving_torture.py TRIAL ROUNDS FOLDER SEED`` works in an empty folder and prints its counts as
JSON. It is one thread that forks, so that a child can be killed at any moment; what must hold is asserted
here, and a failure ends with its words on stderr. See ``test_saving_torture.py``.
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sys
import time
import traceback
from pathlib import Path

from jackshaft.buildfile import KeyConflict, NotSaved, load, locking, parse, previous_of

TEXT = """# a build that is tortured
schema = 1
name = "tortured"
notes = "0"

[circuit]
fuse = "10 A"  # never touched
"""
WRITERS = 3


def value(path: Path) -> int:
    return int(load(path).get("notes"))


def left_over(path: Path) -> list[str]:
    return sorted(p.name for p in path.parent.iterdir() if p not in (path, previous_of(path)))


def fork(work, *args) -> tuple[int, int]:
    """Start a child that writes its acknowledgements, one a line; return its id and the reading end."""
    reading, writing = os.pipe()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    os.close(reading)
    code = 1
    try:
        work(lambda *words: os.write(writing, (json.dumps(words) + "\n").encode()), *args)
        code = 0
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(code)


def said_by(reading: int) -> list[list]:
    with os.fdopen(reading, "rb") as pipe:
        return [json.loads(line) for line in pipe.read().splitlines() if line.endswith(b"]")]


def end(child: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


# -- kill ---------------------------------------------------------------------------------------------


def save_on(say, path: Path, number: int) -> None:
    build = load(path)
    while True:
        number += 1
        build = build.save_values({"notes": str(number)})
        say(number)


def kill(rounds: int, path: Path) -> dict:
    """A process that saves on and on is killed at a random moment; then another one goes on."""
    halves = 0
    for _ in range(rounds):
        start = value(path)
        child, reading = fork(save_on, path, start)
        time.sleep(random.uniform(0.004, 0.06))
        os.kill(child, signal.SIGKILL)
        assert end(child) == -signal.SIGKILL
        said = [start] + [n for (n,) in said_by(reading)]
        assert said == list(range(start, said[-1] + 1))
        halves += check_after_a_cut(path, said[-1])
    load(path).save_values({"notes": str(value(path) + 1)})
    assert left_over(path) == []
    return {"kills": rounds, "cut in the middle of a save": halves, "saves": value(path)}


def check_after_a_cut(path: Path, acknowledged: int) -> bool:
    """The file holds what was acknowledged or the save after it, whole; so does its previous version."""
    now, left = value(path), left_over(path)
    assert now in (acknowledged, acknowledged + 1), f"acknowledged {acknowledged}, in the file {now}"
    assert 'fuse = "10 A"  # never touched' in path.read_text()
    if previous_of(path).exists():
        before = int(parse(previous_of(path).read_bytes(), file="previous").get("notes"))
        # Cut between the two moves: the version before lies ready, and the next save moves it on.
        ready = [n for n in left if n.endswith(".before.writing")]
        assert before == now - 1 or (before == now - 2 and ready), (before, now, left)
    return bool(left)


def interrupted(rounds: int, path: Path) -> dict:
    """The interrupt button: a save of a living program is broken off at a random moment, and the next one goes on."""
    cut = 0

    def press(*_):
        raise KeyboardInterrupt

    signal.signal(signal.SIGALRM, press)
    number = value(path)
    for _ in range(rounds):
        build = load(path)
        acknowledged = value(path)
        try:
            signal.setitimer(signal.ITIMER_REAL, random.uniform(0.001, 0.03))
            while True:
                number = acknowledged + 1
                build = build.save_values({"notes": str(number)})
                acknowledged = number
        except KeyboardInterrupt:
            pass
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
        cut += check_after_a_cut(path, acknowledged)
    load(path).save_values({"notes": str(value(path) + 1)})
    assert left_over(path) == []
    return {"interrupts": rounds, "cut in the middle of a save": cut}


def kill_at(rounds: int, path: Path) -> dict:
    """A save is killed before and after each of its calls to the system that change the disk, one by one."""
    names = ("open", "fsync", "replace", "unlink", "link", "chmod")
    plain = {n: getattr(os, n) for n in names}
    points, done = 0, False
    while not done:
        start = value(path)

        def work(say, start=start, point=points):
            count = 0

            def counted(call):
                def wrapped(*args, **more):
                    nonlocal count
                    count += 1
                    if count == point // 2 + 1 and point % 2 == 0:
                        os.kill(os.getpid(), signal.SIGKILL)
                    try:
                        return call(*args, **more)
                    finally:
                        if count == point // 2 + 1:
                            os.kill(os.getpid(), signal.SIGKILL)

                return wrapped

            build = load(path)
            for n in names:
                setattr(os, n, counted(plain[n]))
            build.save_values({"notes": str(start + 1)})
            say(start + 1)

        child, reading = fork(work)
        done = end(child) == 0
        said = said_by(reading)
        check_after_a_cut(path, said[-1][0] if said else start)
        before, now = previous_of(path).read_bytes() if previous_of(path).exists() else None, path.read_bytes()
        if value(path) == start and before is not None:
            assert int(parse(before, file="previous").get("notes")) == start - 1
        # The next save finishes or takes away what was left, and its previous version is the one before it.
        load(path).save_values({"notes": str(value(path) + 1)})
        assert left_over(path) == [] and previous_of(path).read_bytes() == now
        points += 1
    return {"points": points - 1}


# -- several writers ------------------------------------------------------------------------------------


#: Parts that each writer adds.
PARTS = 15


def writers(rounds: int, path: Path) -> dict:
    """Several processes keep different keys, and each adds parts, all at once: every acknowledged part is there."""
    keys = ("circuit.fuse", "builder", "place")
    texts = {"place": ("indoors", "outdoors")}
    each = -(-rounds // WRITERS)

    def work(say, who: int) -> None:
        random.seed(who)
        build = load(path)
        for n in range(each):
            text = texts.get(keys[who], (f"{n + 1} A",) if who == 0 else (f"builder {n}",))
            # a list of parts has a bound, so after some new ones the first are written again
            part, bore = f"{who}-{n % PARTS}", f"{10 + n} mm"
            build = build.save_values({f"bearing[{part}].bore": bore, keys[who]: text[n % len(text)]})
            say(part, bore, text[n % len(text)])
            if random.random() < 0.3:
                build = load(path)

    children = [fork(work, who) for who in range(WRITERS)]
    said = [said_by(reading) for _, reading in children]
    assert [end(child) for child, _ in children] == [0] * WRITERS
    build = load(path)
    last = {part: bore for one in said for part, bore, _ in one}
    lost = [part for part, bore in last.items() if getattr(build.get(f"bearing[{part}].bore"), "text", None) != bore]
    assert lost == [] and len(build.names("bearing")) == min(each, PARTS) * WRITERS
    for key, one in zip(keys, said, strict=True):
        found = build.get(key)
        assert getattr(found, "text", found) == one[-1][2]
    assert left_over(path) == []
    return {"acknowledged": sum(map(len, said)), "lost": len(lost)}


def one_key(rounds: int, path: Path) -> dict:
    """Several processes keep the same key at once: nobody's value goes unless whoever replaced it had seen it."""
    each = -(-rounds // WRITERS)

    def work(say, who: int) -> None:
        build, conflicts = load(path), 0
        for n in range(1, each + 1):
            mine = str(10**6 * (who + 1) + n)
            while True:
                seen = int(build.get("notes"))
                try:
                    build = build.save_values({"notes": mine})
                    break
                except KeyConflict as conflict:
                    conflicts += 1
                    build = conflict.now
            say(seen, int(mine), conflicts)
            time.sleep(random.uniform(0, 0.002))

    children = [fork(work, who) for who in range(WRITERS)]
    said = [said_by(reading) for _, reading in children]
    assert [end(child) for child, _ in children] == [0] * WRITERS
    follows = {seen: new for one in said for seen, new, _ in one}
    kept = sum(map(len, said))
    # Each value has one that replaced it, so from the first on they are one chain that ends in the file.
    assert len(follows) == kept
    at, steps = 0, 0
    while at in follows:
        at, steps = follows[at], steps + 1
    assert steps == kept and at == value(path)
    assert left_over(path) == []
    return {"acknowledged": kept, "asked": sum(one[-1][2] for one in said), "lost": kept - steps}


def killed_writers(rounds: int, path: Path) -> dict:
    """Writers of different parts, one of which is killed again and again while it may hold the lock."""
    acknowledged: set[str] = set()
    turn = 0

    def work(say, turn: int) -> None:
        build = load(path)
        for n in range(10**6):
            build = build.save_values({f"bearing[{turn}-{n}].bore": "17 mm"})
            say(f"{turn}-{n}")

    def steady(say) -> None:
        build = load(path)
        for n in range(rounds):
            build = build.save_values({"builder": f"steady {n}"})
            say(n)

    other, reading_other = fork(steady)
    for turn in range(rounds):
        child, reading = fork(work, turn)
        time.sleep(random.uniform(0.004, 0.05))
        os.kill(child, signal.SIGKILL)
        end(child)
        acknowledged |= {name for (name,) in said_by(reading)}
        if turn % 10 == 9:
            # The list is kept short, so that a save stays as quick as at the bench.
            names = load(path).names("bearing")
            assert acknowledged <= set(names), acknowledged - set(names)
            load(path).save_values({"bearing": ()})
            acknowledged = set()
    assert end(other) == 0 and len(said_by(reading_other)) == rounds
    assert acknowledged <= set(load(path).names("bearing"))
    assert load(path).get("builder") == f"steady {rounds - 1}"
    load(path).save_values({"notes": "last"})
    assert left_over(path) == []
    return {"kills": rounds, "lost": 0}


# -- a full disk ----------------------------------------------------------------------------------------


def refused(path: Path, number: int) -> bool:
    """Try a save; when it is refused, everything must be as it was."""
    before = path.read_bytes(), previous_of(path).read_bytes()
    try:
        load(path).save_values({"notes": str(number), "purpose": "x" * 400})
    except NotSaved:
        assert (path.read_bytes(), previous_of(path).read_bytes()) == before
        return True
    assert value(path) == number and previous_of(path).read_bytes() == before[0]
    return False


def limited(rounds: int, path: Path) -> dict:
    """No file may grow beyond a limit that the system sets."""
    load(path).save_values({"notes": "1"})
    failed = 0

    def work(say, most: int) -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
        say(refused(path, value(path) + 1))

    for n in range(rounds):
        size = path.stat().st_size
        child, reading = fork(work, random.choice([0, 1, size // 2, size - 1, size + 10_000]) if n else size // 2)
        assert end(child) == 0
        failed += said_by(reading)[0][0]
        assert left_over(path) == []
        load(path).save_values({"notes": str(value(path) + 1), "purpose": ""})
    assert 0 < failed
    return {"saves": rounds, "refused": failed}


def full(rounds: int, path: Path) -> dict:
    """A small file system is filled to the brim (``path`` lies on it), to different degrees."""
    load(path).save_values({"notes": "1"})
    failed = 0
    for n in range(rounds):
        ballast = path.with_name("ballast")
        with open(ballast, "wb", buffering=0) as out:
            try:
                while True:
                    out.write(b"\0" * 4096)
            except OSError:
                room = random.choice([0, 0, 4096, 8192, 12288]) if n else 0
                out.truncate(max(0, out.tell() - room))
        failed += refused(path, value(path) + 1)
        assert left_over(path) == ["ballast"]
        ballast.unlink()
        load(path).save_values({"notes": str(value(path) + 1), "purpose": ""})
    assert 0 < failed
    return {"saves": rounds, "refused": failed}


def failing(rounds: int, path: Path) -> dict:
    """Each call of a save that writes, syncs or moves fails once, with the errors that disks give."""
    load(path).save_values({"notes": "1"})
    names, failed = ("open", "fsync", "replace", "chmod"), 0
    plain = {n: getattr(os, n) for n in names}
    point, count, done = 0, 0, False

    def wrapped(call):
        def inner(*args, **more):
            nonlocal count
            count += 1
            if count == point:
                raise OSError(28, "No space left on device")
            return call(*args, **more)

        return inner

    while not done:
        point, count = point + 1, 0

        build, number = load(path), value(path) + 1
        before = path.read_bytes(), previous_of(path).read_bytes()
        for n in names:
            setattr(os, n, wrapped(plain[n]))
        try:
            build.save_values({"notes": str(number)})
            done = count < point
        except NotSaved:
            failed += 1
        finally:
            for n in names:
                setattr(os, n, plain[n])
        assert done or (path.read_bytes(), previous_of(path).read_bytes()) == before, f"call {point}"
        assert left_over(path) == []
    return {"points": failed}


# -- a folder that may not be written ---------------------------------------------------------------------


def read_only(rounds: int, path: Path) -> dict:
    """The folder takes no files: by its mode, seen by a user who is not root, or as the mount says."""
    load(path).save_values({"notes": "1"})
    before = path.read_bytes(), previous_of(path).read_bytes()
    folder = path.parent

    def work(say) -> None:
        if os.geteuid() == 0 and os.access(folder, os.W_OK):
            os.setgroups([])
            os.setgid(65534)
            os.setuid(65534)
        for _ in range(rounds):
            try:
                load(path).save_values({"notes": "2"})
            except NotSaved as error:
                say(str(error))

    mode = folder.stat().st_mode
    mounted = not os.access(folder, os.W_OK)
    if not mounted:
        folder.chmod(0o555)
    child, reading = fork(work)
    said = said_by(reading)
    if not mounted:
        folder.chmod(mode & 0o777)
    assert end(child) == 0 and len(said) == rounds
    assert all("takes no new file" in words and "Nothing was written" in words for (words,) in said), said[:1]
    assert (path.read_bytes(), previous_of(path).read_bytes()) == before and left_over(path) == []
    return {"refused": len(said)}


def strange_lock(rounds: int, path: Path) -> dict:
    """Another user's save was killed and left its lock, which this one may not write."""
    saved = 0
    path.parent.chmod(0o777)
    # What Python fetches late may lie where the other user has no way in.
    load(path).save_values({"notes": "1"})
    for n in range(rounds):
        locking.lock_of(path).touch()
        locking.lock_of(path).chmod(0o644)

        def work(say, n=n) -> None:
            os.setgroups([])
            os.setgid(65534)
            os.setuid(65534)
            load(path).save_values({"notes": str(n)})
            say(n)

        child, reading = fork(work)
        assert end(child) == 0
        saved += len(said_by(reading))
        assert value(path) == n and left_over(path) == []
    return {"saves": saved}


TRIALS = (
    kill,
    interrupted,
    kill_at,
    writers,
    one_key,
    killed_writers,
    limited,
    full,
    failing,
    read_only,
    strange_lock,
)


def main() -> None:
    name, rounds, folder, seed = sys.argv[1:]
    random.seed(int(seed))
    path = Path(folder) / "tortured.toml"
    if not path.exists():
        path.write_text(TEXT)
    work = next(s for s in TRIALS if s.__name__ == name)
    begun = time.monotonic()
    print(json.dumps(work(int(rounds), path) | {"seconds": round(time.monotonic() - begun, 1)}))


if __name__ == "__main__":
    main()
