"""Tests of how numbers and times are written."""
