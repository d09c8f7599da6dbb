"""The rules, one a file. `buildlog.rules.chain` finds them here by themselves."""
