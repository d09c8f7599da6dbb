"""The cautions that go with everything here."""

NAME = "cautions"
TITLE = "Cautions"
TEXT = """
The tool keeps records and compares what they say. It certifies nothing. Whether an aircraft is
airworthy is for the competent authority and for licensed people to decide.

The manufacturer's and the authority's data come before anything shown here. Where a rule names a
regulation or a circular, that is where the rule comes from; the tool does not say that a record
satisfies it. Look for the edition in force, and for the rules of your own country.

A record is worth what the person who wrote it knew. Look at the part.
"""
