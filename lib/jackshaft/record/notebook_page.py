"""An executed notebook as one self-contained page: prose, results and pictures, no code and no script."""

from __future__ import annotations

import re
from html import escape

import nbformat
from nbconvert import HTMLExporter

from jackshaft.record.outside import POLICY
from jackshaft.record.words import NO_CERTIFICATE

_STYLE = """
body { margin: 0 auto; padding: 1rem; max-width: 56rem; color: #1d2a33; background: #fdfcf8;
  font: 16px/1.5 system-ui, "DejaVu Sans", Arial, sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.6rem; line-height: 1.2; } h2 { font-size: 1.25rem; margin-top: 2rem; }
img { max-width: 100%; height: auto; } pre { white-space: pre-wrap; overflow-wrap: anywhere; }
table { border-collapse: collapse; font-size: .95rem; font-variant-numeric: tabular-nums; }
.jp-OutputArea-output, .output_area { overflow-x: auto; }
th, td { text-align: left; vertical-align: top; padding: .25rem .7rem .25rem 0; border-bottom: 1px solid #c4ccd1; }
ul.jk-checks { list-style: none; padding: 0; } ul.jk-checks li { border-left: 6px solid #55646f; background: #eef2f3;
  padding: .4rem .8rem; margin: .5rem 0; }
.jk-badge { font-weight: 700; } .jk-stop { color: #a11d24; } .jk-caution { color: #8a5200; } .jk-go { color: #1f6b3a; }
.jk-source, .jk-note, .jk-limit { color: #55646f; font-size: .9rem; }
.anchor-link, .jp-InputPrompt, .jp-OutputPrompt, .prompt, .jk-run { display: none; }
.no-certificate { border: 3px solid #a11d24; padding: .5rem .9rem; border-radius: 6px; }
@media print { img, table, li { break-inside: avoid; } h2 { break-after: avoid; } @page { margin: 15mm; } }
"""


def page_of(book: nbformat.NotebookNode, *, title: str) -> str:
    """Return an executed notebook as a page that refers to nothing outside itself.

    Links to other files are turned into plain words, since a page that is passed on stands alone.

    Parameters
    ----------
    book : NotebookNode
        The notebook, executed and cleaned.
    title : str
        The page's title.
    """
    exporter = HTMLExporter(template_name="basic")
    exporter.exclude_input = True
    exporter.exclude_input_prompt = exporter.exclude_output_prompt = True
    body, _ = exporter.from_notebook_node(book)
    body = re.sub(r"<a\b[^>]*class=\"anchor-link\"[^>]*>.*?</a>", "", body, flags=re.DOTALL)
    body = re.sub(r"<a\b(?![^>]*href=\"#)[^>]*>(.*?)</a>", r"<em>\1</em>", body, flags=re.DOTALL)
    body = re.sub(r"<script\b.*?</script>", "", body, flags=re.DOTALL)
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n{POLICY}\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>{escape(title)}</title>\n'
        f"<style>{_STYLE}</style>\n</head>\n<body>\n"
        f'<p class="no-certificate"><strong>{escape(NO_CERTIFICATE)}</strong></p>\n{body}\n</body>\n</html>\n'
    )
