"""buildlog.toml."""

NAME = "buildlog.toml"
TITLE = "The settings, buildlog.toml"
TEXT = """
The settings are TOML. `format = 1` stands first, then a table for each subject: `[project]`,
`[people.KEY]`, `[stages.KEY]`, `[classes.KEY]`, `[kinds]`, `[milestones.KEY]`, `[editions.KEY]`.
Each has a topic of its own here: `project`, `people`, `stages`, `classes`, `kinds`, `milestones`,
`editions`.

```toml
format = 1

[project]
title = "Tansy"
zone  = "Europe/Oslo"

[people.marit]
name   = "Marit Solheim"
public = "Marit"
roles  = ["builder"]

[stages.pre-close]
title            = "Before closing up"
undone_by        = ["made", "modified", "repaired", "damaged", "opened"]
undone_by_inside = ["made", "modified", "repaired", "damaged", "installed", "removed"]
before           = "closed"

[classes.critical]
stages      = ["to-drawing", "pre-close"]
independent = true
signatures  = 2
```

Only `[project]` with a `title` is needed. The tool brings the stages `to-drawing` and `pre-close`
and the classes `general`, `assembly`, `critical` and `hardware`; a table of your own adds to them,
or replaces one by its name.
"""
