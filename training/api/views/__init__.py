"""Views of the API: authorise, parse, call one service or selector, answer."""
