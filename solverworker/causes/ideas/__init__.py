"""One file an idea: its facts and its words. Every file here is found by itself."""
