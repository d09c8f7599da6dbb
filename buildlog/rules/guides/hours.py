"""How hours are written and counted."""

NAME = "hours"
TITLE = "How hours are written and counted"
TEXT = """
With one person on a work line: `2.5`, `2:30`, `2h30` or `150 min`. With several, say how it is
meant: `2.5 each`, `5 total`, `20 min each`, or a table of people, `{marit: 2.5, bram: 1:15}`. A
bare number with several people is an error that asks which is meant.

The people of a line are its own `people`, else those of the entry. Whoever was there and did not
work, an inspector or a visitor, is `present`, and has no hours.

Hours are exact fractions inside, and rounded only where they are shown. A line's person-hours are
split among the names in `parts`, evenly or by the weights given; the share of a bare part number
evenly among its items. Every rollup but that by `assembly` sums to the total to the last digit,
with a row for what has no key. The rollup by `assembly` follows `parent` in the parts list, so its
rows overlap: each holds its own hours and all below it, once.
"""
