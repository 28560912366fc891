"""Screens of ``advisor replay``."""
