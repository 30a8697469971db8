"""Pure functions on numbers in SI, each with its source, its range and an example that runs.

A number outside the range of a formula is refused with an
:class:`abreast.errors.InputError` that names the argument; nothing is clipped.
"""
