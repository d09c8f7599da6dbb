"""The aeroplane's parts, in metres."""
