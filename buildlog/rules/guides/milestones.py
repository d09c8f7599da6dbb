"""Milestones."""

NAME = "milestones"
TITLE = "Milestones"
TEXT = """
A milestone is a point the project works towards. It has the tasks that name it in tasks.csv, the
items of those tasks, the parts or items in its own `items`, and the milestones that it `needs`. It
is reached when all its tasks are complete, and those that it needs are reached.

A task is complete when an entry says `completes`, and back in work when a later one says `resumes`.

Milestones are used in `before` of a stage (due before it), in `until` of `installed` (must be off
before it) and in `until` of `deferred`.
"""
