"""The data that each edition carries."""

NAME = "data-files"
TITLE = "The data files of an edition"
TEXT = """
Each edition carries its own data, `data/log.json` and CSV files (RFC 4180, UTF-8), under the same
rule of audience as its pages.

A spreadsheet runs a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return as a
formula. Such a cell is disarmed with one `'` before it; a cell that begins with `'` gets one more.
To get the text back, take one `'` from the front of any cell that begins with one. The JSON is not
changed in this way.
"""
