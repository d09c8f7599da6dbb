"""Closing up and opening again."""

NAME = "closing"
TITLE = "Closing up and opening again"
TEXT = """
`closed` on an item hides everything inside it, however deep; or only what it `hides`; or all
`except` some. With `area`, an item has several closings, each opened by its own `opened`, or all by
an `opened` without an area.

A stage with `before = "closed"` is due before the item is closed or hidden. Inspect first, then
close: what is behind a closed skin cannot be looked at.
"""
