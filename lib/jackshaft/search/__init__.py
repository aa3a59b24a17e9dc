"""Search for belt layouts: thousands to millions tried on the belt kernels, those that no other dominates are kept."""

from jackshaft.parts.listed_sizes import SizesError, read_sizes
from jackshaft.search.measuring import aims_of
from jackshaft.search.problem import NothingCanWork, Problem
from jackshaft.search.reading import problem_of
from jackshaft.search.run import Run

__all__ = ["NothingCanWork", "Problem", "Run", "SizesError", "aims_of", "problem_of", "read_sizes"]
