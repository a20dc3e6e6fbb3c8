"""One module a step: its form, then its view, called step(). No arithmetic: that is asked of consult.core."""
