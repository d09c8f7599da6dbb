"""Which pages an edition has and what each shows, as small frozen values."""
