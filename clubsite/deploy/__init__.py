"""What runs a club: set-up, serve and demo, copies. Most of it needs the standard library alone."""
