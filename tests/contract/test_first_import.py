"""What a notebook's first cell loads: not yet what draws, holds fields, solves equations or converts units."""

import json
import subprocess
import sys

import pytest

#: Heavy, and needed only when something is drawn, moved, solved or converted between units.
LATER = ("IPython", "ipywidgets", "matplotlib", "nbconvert", "nbformat", "scipy.optimize", "scipy.integrate")
PROGRAM = """
import json, sys
{code}
import pint
print(json.dumps([[m for m in {later!r} if m in sys.modules], type(pint.application_registry.get()).__name__]))
"""


def loaded(code: str) -> tuple[list[str], str]:
    """What of LATER is loaded after a text was run afresh, and the class of the registry of units."""
    call = [sys.executable, "-c", PROGRAM.format(code=code, later=LATER)]
    return json.loads(subprocess.run(call, capture_output=True, text=True, check=True).stdout)


@pytest.mark.parametrize(
    "code", ["from jackshaft.bench import open_build\nimport jackshaft.formulas", "import jackshaft.cli"]
)
def test_nothing_heavy_is_loaded_before_it_is_needed(code):
    assert loaded(code) == [[], "LazyRegistry"]


def test_what_is_loaded_is_seen():
    code = "import jackshaft.ui.base, matplotlib\nfrom jackshaft.units import quantity\nquantity(1.0, 'length')"
    modules, registry = loaded(code)
    assert {"IPython", "ipywidgets", "matplotlib"} <= set(modules) and registry == "UnitRegistry"
