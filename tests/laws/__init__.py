"""Laws of handling: what published guidance says about animals, tried on the advice."""
