"""Templates and Markdown to bytes."""
