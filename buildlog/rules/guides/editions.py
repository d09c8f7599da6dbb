"""The three editions."""

NAME = "editions"
TITLE = "Who may see what"
TEXT = """
There are three editions, each holding all that the one before it holds: `public`, `inspector`,
`shop`. An entry, a part or a task says for whom it is with `audience`; unmarked, it is for the
inspector. Each key has an audience of its own beside that, given in the tables here.

The public sees, where its entry, part or task is public: dates, titles, prose, media and captions;
task and parts of a work line; number, name, items, parent and system of a part; task, title,
discipline and milestone of a task; people by their public names. Records, hours, statuses and
findings stop at the inspector. Supplier, cost, note and document of the four lists, and what a
fence says, are for the shop alone.

An edition is made from what its audience may see and from nothing else: what is hidden is gone
before anything is counted or shown. `declassify` lets one named aggregate through, on purpose.

Before you upload anything, look at the public edition yourself. A photograph can show an address, a
face or a number plate that no program knows to be private.
"""
