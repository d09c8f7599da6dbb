"""Where every key and column is explained."""

NAME = "keys"
TITLE = "Where each key is explained"
TEXT = """
Every key has a topic of its own, by its name: `buildlog meaning scope`. These tell all keys that go
together:

- in an entry: `entry` for its header, `work` for a work line, `records` for what any record may
  carry, `media` for a photo, clip or document; and each kind of record by its name, `inspected`;
- in the settings: `buildlog.toml` for the whole, `project`, `people`, `stages`, `classes`, `kinds`,
  `milestones` and `editions` for its tables;
- columns of the lists: `parts.csv`, `tasks.csv`, `lots.csv` and `tools.csv`.

An unknown key is an error that names the nearest known one.
"""
