"""One module a page: authorise, parse, call one service or selector, render."""
