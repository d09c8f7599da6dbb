"""Buildlog: one folder of dated Markdown compiles into the cross-referenced record of a build."""

__version__ = "0.1.0"
