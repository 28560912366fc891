"""Published water chemistry: one equation, one function, one source.

Scalar functions in plain Python; :mod:`advisor.water.arrays` holds the few
that the simulations need over whole numpy arrays.
"""
