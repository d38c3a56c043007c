"""Slow, obvious twins. They call nothing of the code under test."""
