"""What is printed: control characters shown and not obeyed, and no letter that the output cannot take."""

from __future__ import annotations

import os
import sys
import unicodedata
from typing import TextIO

#: How a letter reads where the output cannot show it.
PLAIN = {
    "✔": "ok",
    "▲": "!",
    "✘": "X",
    "×": "x",
    "·": "*",
    "−": "-",
    "–": "-",
    "≤": "<=",
    "≥": ">=",
    "Ω": "ohm",
    "°": " deg ",
    "µ": "u",
    "²": "2",
    "³": "3",
    "½": "1/2",
    "→": "->",
    "±": "+-",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "…": "...",
}


def shown(text: str) -> str:
    """Return a text with every character that would steer a terminal written out, such as ``\\x1b``.

    Parameters
    ----------
    text : str
        What is to be printed; line ends stay.
    """
    return "".join(c if c == "\n" or not _steers(c) else _written(c) for c in text)


def _steers(letter: str) -> bool:
    # Cc and Cf: control and format, among them escapes and marks that turn the direction of reading; Zl, Zp: line ends
    return unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def _written(letter: str) -> str:
    code = ord(letter)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def fitting(text: str, encoding: str | None) -> str:
    """Return a text in letters that an encoding has: usual signs in plain letters, the rest written out.

    Parameters
    ----------
    text : str
        The text.
    encoding : str or None
        Name of the encoding; None for one that is not known, taken as ASCII.
    """
    encoding = encoding or "ascii"
    try:
        text.encode(encoding)
        return text
    except LookupError:
        encoding = "ascii"
    except UnicodeEncodeError:
        pass
    return "".join(c if _has(c, encoding) else PLAIN.get(c, _written(c)) for c in text)


def _has(letter: str, encoding: str) -> bool:
    try:
        letter.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def say(text: object, out: TextIO | None = None) -> None:
    """Print a text, on standard output when nothing else is named; a reader that has gone is no fault.

    Parameters
    ----------
    text : object
        What to print, with a line end behind it.
    out : text stream, optional
        Where to.
    """
    out = sys.stdout if out is None else out
    if out is None:
        return  # a program without a console has no output at all
    try:
        out.write(fitting(shown(str(text)), getattr(out, "encoding", None)) + "\n")
        out.flush()
    except BrokenPipeError:
        _close(out)


def complain(text: object) -> None:
    """Print a text on the error output."""
    say(text, sys.stderr)


def _close(out: TextIO) -> None:
    # what is left in the stream would be written, and fail again, when the program ends
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), out.fileno())
    except (OSError, ValueError):
        return
