"""Compositions: one function for each photograph."""
