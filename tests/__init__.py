"""Tests, mirroring the code file for file."""
