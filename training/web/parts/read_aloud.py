"""A filter for templates: a line of moves as it is read aloud."""

from __future__ import annotations

from django import template

from training.web.saying.spoken import say_line

register = template.Library()
register.filter("read_aloud", say_line)
