"""A photograph as it may be shown to strangers: upright, small, and the picture alone.

Whatever comes in is decoded and coded anew, so that nothing of the file but its picture comes out: no place, no
camera, no comment, no second picture, nothing behind its end. What was made here once is known by its build, segment
by segment, and stays as it is to the byte; so a record that was taken apart gives the same record again.
"""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageOps, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

#: Bytes of a file that are read at all, and the picture elements that are decoded: a phone's file has a tenth.
FILE_BYTES, ELEMENTS = 30 * 2**20, 80_000_000
#: Longest side and bytes of what is kept.
SIDE, KEPT_BYTES = 1280, 400 * 1024
#: Quality of the coding: the first with which a picture is small enough.
QUALITIES = (80, 65, 50, 35, 20)
#: What is decoded, and by nothing else of the library.
KINDS = tuple(
    reader.format
    for reader in (JpegImagePlugin.JpegImageFile, PngImagePlugin.PngImageFile, WebPImagePlugin.WebPImageFile)
)
WANTED = "a photograph as JPEG, PNG or WebP"

#: The only segments of a file that was made here: the plain header, tables, one frame, one scan.
_HEADER, _SCAN = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00", 0xDA
_TABLES = {0xDB, 0xC4}
_FRAME = 0xC0


class NoPhoto(ValueError):
    """A file that is not taken as a photograph; the words say what was found and what is wanted."""


def clean(data: bytes) -> bytes:
    """Return a photograph as a plain JPEG: upright, at most ``SIDE`` on a side, with nothing in it but the picture.

    Parameters
    ----------
    data : bytes
        The file, from whomever. Colours are read as sRGB, what is see-through becomes white.

    Raises
    ------
    NoPhoto
        If it is no photograph, is too large, or is damaged.
    """
    if len(data) > FILE_BYTES:
        raise NoPhoto(f"found a file of {len(data) / 2**20:.0f} MB; wanted one of at most {FILE_BYTES // 2**20} MB")
    if data[4:12] in (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftyphevc"):
        raise NoPhoto(f"found a HEIC file; wanted {WANTED}: set the telephone's camera to its most compatible format")
    picture = _decoded(data)
    if is_clean(data):
        return data
    picture.thumbnail((SIDE, SIDE), Image.Resampling.LANCZOS)
    for quality in QUALITIES:
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= KEPT_BYTES:
            break
    return out.getvalue()


def _decoded(data: bytes) -> Image.Image:
    """Return the picture upright, in plain colours, and nothing else of the file."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what a damaged note of the camera says matters to nobody: it goes
            with Image.open(io.BytesIO(data), formats=KINDS) as opened:
                width, height = opened.size
                if width * height <= ELEMENTS:
                    opened.draft("RGB", (SIDE, SIDE))  # a JPEG is decoded no larger than it need be
                    upright = ImageOps.exif_transpose(opened)
                    ground = Image.new("RGBA", upright.size, "white")
                    whole = Image.alpha_composite(ground, upright.convert("RGBA")) if _shines(upright) else upright
                    bare = Image.new("RGB", upright.size)
                    bare.paste(whole.convert("RGB"))
                    return bare
    except Image.DecompressionBombError:
        width = height = ELEMENTS
    except Exception as error:
        # a decoder that is given anything may fail in any way; each is the same answer
        raise NoPhoto(f"found a file that is no photograph, or a damaged one; wanted {WANTED}") from error
    raise NoPhoto(f"found a picture that unfolds to more than {ELEMENTS // 10**6} million points; wanted one of fewer")


def _shines(picture: Image.Image) -> bool:
    return "A" in picture.getbands() or "transparency" in picture.info


def is_clean(data: bytes) -> bool:
    """Tell whether a file is built as one that :func:`clean` made: header, tables, one frame, one scan, its end."""
    if not data.startswith(_HEADER) or len(data) > KEPT_BYTES or data[18:20] != b"\x00\x00":
        return False
    at, frames = 20, 0
    while at + 4 <= len(data) and data[at] == 0xFF:
        kind, size = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if kind == _SCAN:
            return frames == 1 and _one_scan(data[at + 2 + size :])
        if kind == _FRAME:
            frames += 1
            sides = [int.from_bytes(data[at + n : at + n + 2], "big") for n in (5, 7)]
            if not 0 < min(sides) <= max(sides) <= SIDE:
                return False
        elif kind not in _TABLES:
            return False
        at += 2 + size
    return False


def _one_scan(data: bytes) -> bool:
    """Tell whether coded data run to the end of the file, with no other segment in or behind them."""
    marks = {data[i + 1] for i in range(len(data) - 1) if data[i] == 0xFF}
    return data.endswith(b"\xff\xd9") and marks <= {0x00, 0xD9} and data.count(b"\xff\xd9") == 1


__all__ = ["ELEMENTS", "FILE_BYTES", "KEPT_BYTES", "SIDE", "NoPhoto", "clean", "is_clean"]
