"""The facts of a log as frozen types: each field with its audience, each fact with its place in its file."""
