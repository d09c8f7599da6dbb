"""Readiness: what stands between the log and the next step, from knowledge and findings."""
