"""The picture that is sent round: read on a telephone, the same each time, and nothing in it but the picture."""

import io

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.drawing import share, style
from jackshaft.record.share import picture
from jackshaft.results import work_up
from PIL import Image


def dots(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


def near(dots: np.ndarray, colour: str) -> np.ndarray:
    """Return which dots are of a colour, all but a little."""
    wanted = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return (abs(dots - wanted) < 12).all(axis=2)


def at_edges(dots: np.ndarray, colour: str) -> np.ndarray:
    """Return which rows have a colour at both of their ends."""
    return near(dots[:, [*range(20), *range(-20, 0)]], colour).all(axis=1)


@pytest.fixture(scope="module")
def made():
    return picture(work_up(load(DEMO), at_ends=True))


def chunks(data: bytes):
    at = 8
    while at < len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        yield data[at + 4 : at + 8]
        at += size + 12


def test_it_is_wide_enough_small_enough_and_holds_the_picture_alone(made):
    assert dots(made).shape[1] == share.WIDE == 1200
    assert dots(made).shape[0] < 2.6 * share.WIDE and len(made) < 300 * 1024
    # no date, no name of a program, no place
    assert set(chunks(made)) <= {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS"}


def test_letters_have_ten_dots_on_a_telephone():
    small = share.PHONE / share.WIDE
    assert min(share.TITLE, share.BAND, share.VALUE, share.NAME) == share.NAME
    assert share.NAME / 72 * share.DPI * small >= 10
    drawn = (share.WIDE - 2 * share.EDGE * share.DPI) / 3.8  # dots an inch of what is drawn for a phone
    assert style.SMALL / 72 * drawn * small >= 10


def test_the_band_has_the_verdicts_colour_and_words_stay_inside(made):
    band = at_edges(dots(made), style.CAUTION)
    assert band.sum() > 0.4 * share.DPI
    # nothing but paper and the band reaches the edges
    assert (band | at_edges(dots(made), style.PAPER)).all()
    sheet = share.Sheet("a", "stop", "no", [], "b")
    assert at_edges(dots(share.share_png(sheet, None)), style.STOP).sum() > 0.4 * share.DPI


def test_any_name_and_an_empty_build_are_shown():
    long = parse(f'schema = 1\nname = "{"W" * 40} $x^2$ <b> {"W" * 30}"\n'.encode(), file="x.toml")
    found = dots(picture(work_up(long)))
    assert (at_edges(found, style.PAPER) | at_edges(found, style.UNKNOWN)).all()
    assert found.shape[1] == share.WIDE and found.shape[0] < share.WIDE
