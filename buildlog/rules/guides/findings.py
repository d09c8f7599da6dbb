"""Findings, grades and deferrals."""

NAME = "findings"
TITLE = "Findings and their grades"
TEXT = """
A finding says that something in the log needs a person. It is *major*, *minor* (after ISO/IEC
17021-1) or an *observation* (common practice, no source). It names the item, the stage, the records
it rests on, why it matters and what would clear it. Each rule is a topic of its own here.

A finding can be put off with a record `deferred`: which rule, by an engineer or inspector, why, and
until which day or milestone. While it is in force the finding stays listed, marked deferred, and
counts for no threshold. The day itself still counts; after it, or when the milestone is reached, the
finding returns, and `deferral-lapsed` says so. A deferral by somebody who is neither engineer nor
inspector, or was not on that day, holds nothing back.

`buildlog findings LOG` prints them by what they are about, the most serious first; on a log without any
it prints one line. `--on DATE` stands on another day, `--hold-at GRADE` says from which grade on the exit
status is 1. `--format json` is for programs, `--format sarif` (SARIF 2.1.0) for editors and code hosts,
where what is put off is shown as suppressed, with its reason.

No findings means that the rules found nothing in what was written down. It does not mean that
anything is airworthy.
"""
