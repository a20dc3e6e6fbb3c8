"""The shop's own data as plain values and the arithmetic on them. No Django, no clock, no files."""
