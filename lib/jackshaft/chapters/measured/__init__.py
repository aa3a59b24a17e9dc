"""What was measured on the finished machine, held against what the build foretells."""

from jackshaft.results.chapter import Chapter

CHAPTER = Chapter(
    name="measured",
    title="As measured",
    place=120,
    needs=("ratio", "grip", "electric", "clutch", "guards"),
    notebook="90_build_record",
    own_ends=True,
    folder="measured",
)
