"""The pages of the public edition: the story, its photographs, and what of the rest was let through."""
