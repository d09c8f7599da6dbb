"""Who sees what: the one door between what is written and what an edition may know."""
