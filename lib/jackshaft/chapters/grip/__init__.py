"""How tight the belt must be, and what slips first."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="grip",
    title="Tension and grip",
    place=30,
    needs=("layout",),
    essential=("grip.margin",),
    notebook="25_tension_and_grip",
    paper="the tension tag",
    dense=True,
    folder="grip",
)
