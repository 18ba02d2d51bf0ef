"""Random whole heads for property tests: what is drawn, how it is written, how it is moved about."""
