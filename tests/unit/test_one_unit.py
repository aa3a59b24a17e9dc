"""An order names all sizes of one belt in one unit."""

import pytest
from jackshaft.parts.belt_changes import _one_unit
from jackshaft.units import write_nominal

IN = 0.0254


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("sizes", [(3.5 * IN, 4.6 * IN), (3.5 * IN, 4.0 * IN), (0.090, 0.125)])
def test_two_pulleys_are_ordered_in_one_unit(system, sizes):
    """Seen in a metric build: 'Fit E of 88.9 mm and G of 4.6 in'."""
    one = _one_unit(system, sizes)
    assert len({write_nominal(size, one).split()[-1] for size in sizes}) == 1
