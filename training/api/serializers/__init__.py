"""Shapes that go in and out, one subject a file. Only shape: rules and sight are elsewhere."""
