"""Whether each roller chain is long enough, oiled enough and strong enough, and when it is worn out."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="roller-chain",
    title="Roller chain",
    place=45,
    needs=("ratio",),
    notebook="28_roller_chain",
    folder="roller_chain",
)
