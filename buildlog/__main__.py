"""Lets `python -m buildlog` stand for the command `buildlog`."""

from buildlog.cli.start import main

if __name__ == "__main__":
    raise SystemExit(main())
