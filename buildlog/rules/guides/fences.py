"""Audience fences in prose."""

NAME = "fences"
TITLE = "Passages for one audience"
TEXT = """
In the prose of an entry or a part note, a passage can be kept from others:

```
~~~ shop only
Invoice 8812 is still open.
~~~
```

`~~~ shop only` and `~~~ inspector only` begin a passage at the left edge, and a line `~~~` ends it.
It is cut before anything else is done with the prose. A fence never widens what its entry allows.

`~~~` is for audiences alone; code is marked with backticks or set in. Any other line that begins
with it, and a fence that is never closed, is an error, because a fence that is none would publish
what it was to keep back.
"""
