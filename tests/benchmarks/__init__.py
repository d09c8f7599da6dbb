"""How fast it is, as ratios in one run: `python -m tests.benchmarks`. Nothing here is asserted."""
