"""Knowledge to findings: one rule, one file; its docstring the reason and the published basis."""
