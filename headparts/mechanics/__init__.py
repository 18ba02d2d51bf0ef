"""Formulas of fits, heat, gas flow and valve train: pure functions on numbers and numpy arrays.

Every module holds one subject. Lengths are mm, temperatures degC, moduli and stresses MPa, forces N, torques
N m, and ``interference`` is always on the diameter. Scalars give a float, arrays an array of the broadcast
shape.
"""
