"""The record as a PDF, printed by a browser of the Chromium family where the machine has one."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
#: Without these a browser looks for its maker's hosts at every start.
QUIET = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--no-pdf-header-footer",
)
#: Seconds that a browser gets for one page.
PATIENCE = 120


class NotPrinted(RuntimeError):
    """No PDF came of it; the words say why, and what to do."""


def browser() -> str | None:
    """Return the path of an installed browser that prints; None where there is none."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


def pdf_of(page: str, size: str) -> bytes:
    """Return a page as a PDF, set as it prints.

    Parameters
    ----------
    page : str
        The page, one self-contained HTML text.
    size : str
        The paper, ``A4`` or ``letter``; the page itself leaves that to whoever prints it.

    Raises
    ------
    NotPrinted
        If there is no such browser, or it makes no PDF.
    """
    by = browser()
    if by is None:
        raise NotPrinted(
            "No PDF was made: no Chromium or Chrome is installed. Open the page in any browser and print it to a file."
        )
    with tempfile.TemporaryDirectory() as folder:
        source, out = Path(folder, "record.html"), Path(folder, "record.pdf")
        sized = page.replace("</head>", f"<style>@page {{ size: {size}; }}</style></head>", 1)
        source.write_text(sized, encoding="utf-8")
        # a browser refuses to start for root with its sandbox
        root = ["--no-sandbox"] if getattr(os, "geteuid", lambda: 1)() == 0 else []
        line = [by, *QUIET, *root, f"--user-data-dir={folder}/profile", f"--print-to-pdf={out}", source.as_uri()]
        try:
            subprocess.run(line, check=True, capture_output=True, timeout=PATIENCE)
            return out.read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            raise NotPrinted(
                f"No PDF was made: {Path(by).name} did not print the page ({type(error).__name__}). Open the page in "
                "any browser and print it to a file."
            ) from error


__all__ = ["NotPrinted", "browser", "pdf_of"]
