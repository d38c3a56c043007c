"""Clubs of earlier versions that are brought up to today's, and back, and up again.

A module a subject: what is written into a database that stands at its ``BEFORE``, and what is
found of it later, in forms that JSON keeps. ``way`` takes all of them along on one way;
``tests/stack/test_old_clubs.py`` says what has to be found.
"""
