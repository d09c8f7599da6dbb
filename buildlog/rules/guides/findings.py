"""Findings, grades and deferrals."""

NAME = "findings"
TITLE = "Findings and their grades"
TEXT = """
A finding says that something in the log needs a person. It is *major*, *minor* (after ISO/IEC
17021-1) or an *observation* (common practice, no source). It names the item, the stage, the records
it rests on, why it matters and what would clear it. Each rule is a topic of its own here.

A finding can be put off with a record `deferred`: which rule, by an engineer or inspector, why, and
until which day or milestone. While it is in force the finding stays listed, marked deferred, and
counts for no threshold. The day itself still counts; after it, the finding returns.

No findings means that the rules found nothing in what was written down. It does not mean that
anything is airworthy.
"""
