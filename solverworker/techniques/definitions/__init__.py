"""One file an idea: what it is, exactly. Every file here is found by itself."""
