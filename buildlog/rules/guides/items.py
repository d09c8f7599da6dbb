"""Parts, items and articles."""

NAME = "items"
TITLE = "Parts, items and articles"
TEXT = """
A *part number* is a design. An *item* is one physical place for an article of it, and everything
that happens, happens to an item. An *article* is the thing itself: scrapped or returned, and made
or received again, an item holds its second article, with a history of its own.

An item is written as its part number, a `/` and its designator: `TN-57-1100/L`. The column `items`
of parts.csv gives the designators: empty for one item without any, `L R`, or `4` for 1 to 4. A part
number may itself hold a `/`: the whole text is looked up as a part number first.

A bare part number that has several items means all of them in `work`, `made`, `received` and
`shows`. Elsewhere that is an error that asks for the designators, or for `TN-57-1100/all`. A
designator that a listed part does not have is an error; a number that is on no list is a finding,
and keeps its history.

An item exists from the first record or work line that names it until its article is scrapped or
returned, or goes on under another item's name. Before and after, it asks for nothing. The two halves
of a pair are two items: the inspection of one says nothing of the other.

A lot of material may itself be `received`, `inspected`, `tested`, `measured`, `weighed`, `damaged`,
`scrapped` or `returned`, and have a `nonconformance` and its `disposition`: the record names the
lot's key from lots.csv where it would name an item, `inspected: EPX-2231`. A key that is both an
item and a lot is an error there, for to guess could hide a hold. What stands against a lot (on hold,
rejected, a failed test, a damage) stands against every item that it went into, until it is settled.

Where an item sits comes from `installed` and `removed`. Where no record says, the parts list does,
by `parent`: in the parent's item of the same designator, or in its only item; such a place is
marked assumed. Of ribs `L1` and `L2` whose parent has the items `L` and `R` neither says which wing
they are in: their place is unknown, they stand so on the sheet *As it stands*, and nothing that
happens to them counts for a wing until an `installed` record says which.
"""
