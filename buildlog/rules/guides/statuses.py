"""How an inspection status comes about."""

NAME = "statuses"
TITLE = "How an inspection status comes about"
TEXT = """
Each stage that an item's class asks for has one status, for the present article. Where several
hold, it is the first of: on hold, rejected, undone, unclear, partial, current. Without any
inspection it is none.

- *On hold*: a nonconformance is open.
- *Rejected*: the last inspection rejected it, or a test that names the stage failed.
- *Undone*: it was accepted, and something in the stage's `undone_by` happened to the item since, or
  something in its `undone_by_inside` to anything that was inside it then, however deep. `installed`
  and `removed` inside mean: put into it or taken out of it. So does a `drawing_changed` whose effect
  is `reinspect`, whatever the stage names, and a new name (`reidentified`) that does not carry the
  stage.
- *Unclear*: the log leaves it open. Two things of one day have no order, or there was work of which
  no record says what it changed; or it was passed after its article was scrapped or
  returned and before any record that another was made or received, so that nothing says what was
  passed. What is open is never decided in the builder's favour.
- *Partial*: the inspection had a `scope`, or there are fewer signatures than the class asks for.
- *Current*: the last inspection accepted it, and none of the above.

Once an item was closed with the stage current, only an event on the item itself, or on an item that
the closing hid, undoes it: hanging a closed, passed wing on the aircraft does not.

An acceptance without authority, or by somebody who worked on the article where the class is
`independent`, counts for nothing. Work and records before the acceptance undo nothing. A `tested`
record that names a stage counts as its inspection. What was struck through counts for nothing.

A stage is due at once, or, with `before`, when the item is closed or hidden, or its milestone is
reached.

A status is what the log says, as entered. It does not say that anything is airworthy.
"""
