"""Photographs from anywhere: bare pictures in the record, back out of it to the byte, and nothing else of them."""

import io
import os
import struct
import zlib
from pathlib import Path

import pytest
from jackshaft import photos as room
from jackshaft.buildfile import BuildProblems, NotSaved, load
from jackshaft.buildfile import disk as disk_room
from jackshaft.cli import main
from jackshaft.photos import FILE_BYTES, SLOTS, NoPhoto, clean, photos, safe_name, slot_of
from jackshaft.photos.cleaning import KEPT_BYTES, SIDE, is_clean
from jackshaft.record import record_page
from jackshaft.record.ride import PHOTO, PICTURE, photos_in
from jackshaft.start import photographing
from PIL import Image

SMALL = 'schema = 1\nname = "a bench"\n\n[clutch]\nkind = "electromagnetic"\n'
EVIL = b"<script>alert(1)</script>"


def picture(size=(60, 40), kind="JPEG", mode="RGB", **how) -> bytes:
    """Return a picture whose left half is red and whose right half is blue."""
    made, out = Image.new("RGB", size, "blue"), io.BytesIO()
    made.paste("red", (0, 0, size[0] // 2, size[1]))
    made.convert(mode).save(out, kind, **how)
    return out.getvalue()


def noted(turned: int = 1) -> bytes:
    """Return a picture with a place, a maker, a comment and an orientation in it."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = turned, "MAKER OF CAMERAS"
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0), 29: "2026:01:02"})
    return picture(exif=exif, comment=b"HOME ADDRESS")


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def bomb(side: int) -> bytes:
    """Return a PNG of a few hundred bytes that says how many points it has on each side."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.fixture
def bench(tmp_path):
    """Return a small build in a folder of its own, with a folder of photographs beside it."""
    path = tmp_path / "home" / "bench.toml"
    path.parent.mkdir()
    path.write_text(SMALL)
    path.with_name("bench.photos").mkdir()
    return load(str(path))


def put(build, **files: bytes) -> Path:
    folder = room.folder_of(build)
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return folder


def test_nothing_but_the_picture_comes_out():
    before = noted()
    assert b"HOME ADDRESS" in before and b"MAKER" in before and opened(before).getexif().get_ifd(0x8825)
    after = clean(before)
    assert not opened(after).getexif() and "comment" not in opened(after).info and is_clean(after)
    assert not any(word in after for word in (b"HOME", b"MAKER", b"Exif", b"2026"))


@pytest.mark.parametrize(
    ("turned", "size", "red"),
    [(1, (60, 40), (5, 20)), (3, (60, 40), (55, 20)), (6, (40, 60), (20, 5)), (8, (40, 60), (20, 55))],
)
def test_it_stands_upright(turned, size, red):
    # EXIF 2.32, orientation: 6 is shown a quarter turn clockwise, so that its left side is on top; 8 the other way
    after = opened(clean(noted(turned)))
    assert after.size == size
    assert after.getpixel(red)[0] > 200 > 60 > after.getpixel(red)[2]


def test_it_is_small_and_what_is_clean_stays_to_the_byte():
    noise = Image.frombytes("RGB", (2000, 1500), os.urandom(2000 * 1500 * 3))
    out = io.BytesIO()
    noise.save(out, "JPEG", quality=95)
    after = clean(out.getvalue())
    # noise is the worst there is to code
    assert len(after) <= KEPT_BYTES and opened(after).size == (SIDE, SIDE * 3 // 4)
    assert clean(after) is after


@pytest.mark.parametrize(
    "data",
    [
        picture(kind="PNG", mode="RGBA"),
        picture(kind="WEBP"),
        picture(kind="PNG", mode="P"),
        picture(kind="PNG", mode="L"),
        picture(kind="JPEG", mode="CMYK"),
    ],
    ids=["RGBA", "WebP", "P", "L", "CMYK"],
)
def test_other_kinds_become_plain_ones(data):
    assert opened(clean(data)).mode == "RGB" and is_clean(clean(data))


@pytest.mark.parametrize(
    "spoilt",
    [
        lambda d: d + EVIL,
        lambda d: d[:-2] + EVIL + d[-2:] + EVIL + b"\xff\xd9",
        lambda d: d[:20] + b"\xff\xfe" + struct.pack(">H", len(EVIL) + 2) + EVIL + d[20:],
        lambda d: d[:2] + b"\xff\xe1" + struct.pack(">H", len(EVIL) + 2) + EVIL + d[2:],
        lambda d: d[:20] + b"\xff\xe0" + struct.pack(">H", len(EVIL) + 2) + EVIL + d[20:],
    ],
    ids=["behind", "behind with an end", "comment", "before", "second header"],
)
def test_what_hides_in_a_clean_one_is_found(spoilt):
    good = clean(picture())
    bad = spoilt(good)
    assert EVIL in bad and not is_clean(bad)
    try:
        assert EVIL not in clean(bad)
    except NoPhoto:
        assert spoilt(good) == bad  # refused is as good as cleaned


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no photograph"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>x</script></svg>", "no photograph"),
        (b"<html><script>alert(1)</script></html>", "no photograph"),
        (bomb(60_000), "unfolds"),
        (bomb(9_000), "unfolds"),
        (picture()[:300], "damaged"),
        (picture(kind="GIF"), "no photograph"),
        (picture(kind="TIFF"), "no photograph"),
        (b"\0\0\0\x18ftypheic" + bytes(50), "most compatible"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n", "no photograph"),
    ],
    ids=["empty", "svg", "html", "bomb", "lesser bomb", "cut off", "gif", "tiff", "heic", "postscript"],
)
def test_what_is_no_photograph_is_refused_in_words(data, words):
    with pytest.raises(NoPhoto, match=words):
        clean(data)


def test_a_file_of_any_size_is_not_read_to_its_end(bench):
    folder = put(bench)
    with (folder / "large.jpg").open("wb") as file:
        file.truncate(FILE_BYTES * 100)
    assert "30 MB" in photos(bench).refused[0].why


def test_nothing_outside_the_folder_is_read(bench, tmp_path):
    secret = tmp_path / "secret.jpg"
    secret.write_bytes(picture())
    folder = put(bench)
    (folder / "link.jpg").symlink_to(secret)
    (folder / "deep").mkdir()
    (folder / "deep" / "x.jpg").write_bytes(picture())
    os.mkfifo(folder / "pipe.jpg")
    taken = photos(bench)
    assert not taken.photos and {one.name for one in taken.refused} == {"link.jpg", "deep", "pipe.jpg"}
    assert all("link" in one.why for one in taken.refused)
    other = tmp_path / "elsewhere"
    folder.rename(other)
    folder.symlink_to(other)
    assert photos(bench).photos == () and "link" in photos(bench).refused[0].why
    with pytest.raises(NoPhoto, match="link"):
        room.add(bench, SLOTS[0], "", picture())


ODD = (
    '"><img src=x onerror=alert(1)>.jpg',
    "a\nb.jpg",
    "\u202egpj.exe.jpg",
    "con.jpg",
    "{{ 7*7 }}.jpg",
    "-rf.jpg",
    "x" * 200 + ".jpg",
    "Größe, Füße.jpg",
    "कि.jpg",
    "no ending",
)


def test_odd_names_are_words_and_no_markup(bench):
    put(bench, **{name: picture() for name in ODD})
    taken = photos(bench)
    assert len(taken.photos) == len(ODD)
    for one in taken.photos:
        assert safe_name(one.name) == one.name and len(one.name.encode()) < 140, one.name
        assert not set(one.name) & set("<>\"'/\\:\n\u202e{}") and one.name[0] not in "-.", one.name
    names = {one.name for one in taken.photos}
    assert {"photo con.jpg", "Größe, Füße.jpg", "कि.jpg"} <= names
    page = record_page(bench)
    assert "<img src=x" not in page and "7 7.jpg" in names and all(f'data-photo="{name}"' in page for name in names)


@pytest.mark.parametrize(
    ("stem", "slot", "words"),
    [
        ("belt routing", "belt routing", ""),
        ("Belt_Routing-2, crank belts", "belt routing", "2, crank belts"),
        ("gap with feeler3", "gap with feeler", "3"),
        ("shafting", "other", "shafting"),
        ("IMG_2031", "other", "IMG 2031"),
    ],
)
def test_the_name_says_what_it_shows(stem, slot, words):
    found, rest = slot_of(stem)
    assert (found.name, rest) == (slot, words)


def test_a_record_gives_back_its_photographs_and_they_the_same_record(bench, tmp_path, capsys):
    put(
        bench,
        **{
            "gap with feeler 10.JPG": noted(6),
            "gap with feeler 2.jpg": picture((50, 50)),
            "gap with feeler 2.png": picture(kind="PNG"),
            "whole machine.webp": picture(kind="WEBP"),
            "x.jpg": b"<html>",
        },
    )
    first = record_page(bench)
    assert first.index("gap with feeler 2.jpg") < first.index("gap with feeler 2 2.jpg") < first.index("feeler 10.jpg")
    clutch = first[first.index('id="clutch"') : first.index('id="photographs"')]
    assert clutch.count("<img") == 3 and first.count("<img") == 4 and "HOME" not in first and "x.jpg" not in first
    page, out = tmp_path / "theirs.html", tmp_path / "mine" / "other.toml"
    page.write_text(first, encoding="utf-8")
    out.parent.mkdir()
    assert main(["unpack", str(page), "--out", str(out)]) == 0 and "4 photographs" in capsys.readouterr().out
    out = out.rename(out.with_name("bench.toml"))
    out.with_name("other.photos").rename(out.with_name("bench.photos"))
    assert record_page(load(str(out))) == first
    # cut off before the build was written: the same command completes it; another photograph is never written over
    out.unlink()
    assert main(["unpack", str(page), "--out", str(out)]) == 0
    out.unlink()
    put_there = out.with_name("bench.photos") / "whole machine.jpg"
    put_there.write_bytes(b"mine")
    assert main(["unpack", str(page), "--out", str(out)]) == 2 and "written over" in capsys.readouterr().err
    assert put_there.read_bytes() == b"mine" and not out.exists()


def test_the_photographs_of_a_stranger_lead_nowhere(tmp_path):
    from base64 import b64encode

    def img(name, data):
        return f'<img {PHOTO}="{name}" src="{PICTURE}{b64encode(data).decode()}">'

    page = tmp_path / "a.html"
    page.write_text(
        img("../../up.jpg", picture())
        + img("b.jpg", EVIL)
        + img("c.jpg", picture() + EVIL)
        + img("/etc/d.sh", picture())
        + f'<img {PHOTO}="e" src="file:///etc/passwd">'
        + f'<img {PHOTO}="f.jpg" src="https://example.org/f.jpg">'
    )
    found, refused = photos_in(page)
    assert set(found) == {"up.jpg", "c.jpg", "etc d.jpg"} and all(map(is_clean, found.values()))
    assert [one.name for one in refused] == ["b.jpg", "e.jpg", "f.jpg"]
    page.write_text("".join(img(f"{n}.jpg", picture()) for n in range(30)))
    assert len(photos_in(page)[0]) == room.MOST


def test_what_is_kept_is_clean_and_nothing_is_written_over(bench):
    slot, files = dict(photographing.choices(bench))["Clutch plate"], [{"name": "IMG.jpg", "content": noted(6)}]
    for _ in range(2):
        assert "Kept clutch plate" in photographing.add_photos(bench, slot, "found / so", files)
    folder = room.folder_of(bench)
    assert sorted(os.listdir(folder)) == ["clutch plate found so 2.jpg", "clutch plate found so.jpg"]
    assert all(is_clean(p.read_bytes()) for p in folder.iterdir())
    with pytest.raises(ValueError, match="bad.jpg: found a file that is no photograph.*Kept before it: clutch plate"):
        photographing.add_photos(bench, slot, "", [*files, {"name": "bad.jpg", "content": EVIL}])
    assert photographing.there(bench) == "3 so far."
    with pytest.raises(ValueError, match="pick them first"):
        photographing.add_photos(bench, slot, "", ())


def test_a_save_that_is_cut_off_leaves_no_half_of_a_photograph(bench, monkeypatch):
    real = disk_room._write
    folder = room.folder_of(bench)

    def full(path, data, like):
        real(path, data[: len(data) // 2], like)
        raise OSError(28, "No space left on device")

    room.add(bench, SLOTS[0], "", picture())
    monkeypatch.setattr(disk_room, "_write", full)
    with pytest.raises(NotSaved, match="Free some room"):
        room.add(bench, SLOTS[0], "", picture())
    monkeypatch.undo()
    assert os.listdir(folder) == [f"{SLOTS[0].name}.jpg"]
    # killed: what was written stays for an hour, is never shown, and then goes
    left = folder / ".x.jpg.abc.writing"
    left.write_bytes(picture()[:50])
    assert len(photos(bench).photos) == 1 and not photos(bench).refused
    os.utime(left, (0, 0))
    room.add(bench, SLOTS[0], "", picture())
    assert not left.exists() and len(photos(bench).photos) == 2


def test_no_more_than_the_record_shows_are_kept_or_shown(bench):
    put(bench, **{f"{n}.jpg": picture() for n in range(room.MOST + 2)})
    taken = photos(bench)
    assert len(taken.photos) == room.MOST and [one.name for one in taken.refused] == ["24.jpg", "25.jpg"]
    with pytest.raises(NoPhoto, match="already"):
        room.add(bench, SLOTS[0], "", picture())
    with pytest.raises(BuildProblems, match="written over"):
        room.in_place(bench.path, {"1.jpg": b"other"})
