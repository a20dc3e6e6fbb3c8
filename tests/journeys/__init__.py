"""Tests of one part; see the folder's files."""
