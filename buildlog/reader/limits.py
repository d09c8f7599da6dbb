"""How large and how deep what is read may be. Each limit is far above any honest log."""

MIB = 1024 * 1024

SETTINGS_BYTES = MIB
LIST_BYTES = 16 * MIB
PROSE_BYTES = 2 * MIB
HEADER_CHARACTERS = 256 * 1024
HEADER_DEPTH = 8
HEADER_NODES = 50_000
WORK_LINES = 500
RECORDS = 2_000
MEDIA = 2_000
NAME_CHARACTERS = 200
PATH_CHARACTERS = 500
ITEMS_OF_A_PART = 500
ROWS = 200_000
COLUMNS = 100
DOTS_IN_A_LINE = 200
FOLDER_DEPTH = 16
FILES = 200_000
PROBLEMS_SHOWN = 50
LINE_CHARACTERS = 20_000
"""A line of prose that a Markdown parser still reads in no time, however it is made."""
