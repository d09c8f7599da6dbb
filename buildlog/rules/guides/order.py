"""What came before what."""

NAME = "order"
TITLE = "What came before what"
TEXT = """
Records run by date, then time, then place in the file. The date and time are the record's own, else
the entry's: its `date`, and its `start` for records of that same date. An entry's work lines come
before its records.

Two records of one day from different entries, or work and a record, have no order between them
unless both have a time. Where an answer depends on it, it is unclear, and a finding says so. Pages
break such ties by the entry's name, for show only.

What was written up later carries its own `date`, and `time` if the order matters.

Every answer stands on a day: the latest date of an entry or record in the edition, or the one given
with `--on`. What is later is left out. No clock is ever read.
"""
