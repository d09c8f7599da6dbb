"""Photos, clips and documents: what can be shown of them, and what is taken out of them before they are."""
