"""Files to facts, and the errors that a person can act on."""
