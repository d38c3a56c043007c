"""A made-up sixth idea: its three files, and where it must turn up once they are there."""
