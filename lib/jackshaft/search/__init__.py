"""Search for belt layouts: thousands to millions tried on the belt kernels, the unbeaten ones kept."""

from jackshaft.search.problem import NothingCanWork, Problem, problem_of
from jackshaft.search.run import AIMS, Run, aims_of
from jackshaft.search.sizes import SizesError, read_sizes

__all__ = ["AIMS", "NothingCanWork", "Problem", "Run", "SizesError", "aims_of", "problem_of", "read_sizes"]
