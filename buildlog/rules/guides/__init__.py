"""What the types cannot say of the format, one subject a file, each a `TITLE` and `TEXT` in Markdown."""
