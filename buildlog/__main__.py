"""Lets `python -m buildlog` stand for the command `buildlog`."""

from buildlog.cli.start import command

if __name__ == "__main__":
    command()
