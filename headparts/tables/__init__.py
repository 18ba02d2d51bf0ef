"""Tables as data: limits and fits, general tolerances, threads, materials, instruments, cautions.

Every number sits in a CSV file under ``data/`` with a unit row and columns for edition, source and
verification. Nothing here loads numpy, so that a fit can be printed at once.
"""
