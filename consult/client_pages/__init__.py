"""What a client opens from home by a private link: designs to choose from, a sheet to sign, what to pay.

No log-in is asked for or looked at here; only links that were opened in this browser count.
"""
