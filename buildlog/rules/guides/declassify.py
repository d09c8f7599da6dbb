"""What `declassify` lets through, and how coarse it is."""

NAME = "declassify"
TITLE = "What the public may be told of hidden facts"
TEXT = """
`declassify` in `[editions.public]` names figures that are reckoned from the whole log, hidden
sessions among it, and shown to the public. Nothing is shown that is not named:

    [editions.public]
    declassify = ["hours", "readiness"]

All of it stands on the day of the latest public entry. What is hidden and later than that changes
nothing. Whoever keeps every edition and compares them can read what is said here, and nothing finer.

`hours`: whole hours by discipline, to the nearest (half hours to the even one), and their sum. Only
months that are over count: those before the month of the latest public entry. A discipline that a
public task names is shown by its name; the hours of all others, and on no task, stand together. A
discipline's hours rise only at the turn of a month, and only once three or more sessions with hours
in it have come together since they last rose; until then they wait, for months if need be. So a rise
is the hours of at least three sessions, and never says which. The sum adds up the figures as shown.

`readiness`: one whole per cent a milestone, rounded down, for each milestone that a public task
names. It is the estimated hours of the complete tasks against those of all, hidden ones too, of the
milestone and of those it needs. A task without an estimate counts with the middle of its `low` and
`high`, or else with the mean of the others. 100 means that every task is complete. A milestone with
fewer than five tasks is not shown. There is no forecast. A rise between two editions says that
something was completed; where a milestone adds only few tasks to those that it needs, the two per
cents together tell roughly how far those few are.

`inspection-status`: one whole per cent for the whole aircraft, rounded down: of the inspections that
classes ask for, on every item that exists, how many are current. Items that are not for flight and
parts kept by lot are left out. It is not shown for fewer than ten inspections. 100 means all of them.
It names no part and no finding, and is no statement that anything is airworthy.

`people-count`: how many different people worked in the months that are over. Whoever was only
present, or signed, is not among them. It is not shown for fewer than three. A rise says that somebody
new worked in the months since.

What is changed afterwards shows. A session written up late into a month that is over, one struck
out, hours corrected, a task given another discipline: between two editions that differ by nothing
else, the figure moves by about those hours. Where that matters, write late sessions up before the
first public entry of the next month, or leave `hours` out. A public entry with a wrong year makes
every month before it one that is over. And what was published stays with whoever kept it: a name
taken out of `declassify` later takes nothing back.
"""
