"""The site around the club: settings, addresses, what starts and watches its programs.

Whatever of it is loaded first lets Python look for circles of objects (``gc``) seldom: loading
makes hundreds of thousands of objects that stay, and by Python's own numbers (700, 10, 10) they
are gone through again and again, which takes a fifth of what a program's start takes.
"""

import gc

gc.set_threshold(50_000, 20, 50)
