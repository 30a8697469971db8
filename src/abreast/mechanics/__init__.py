"""What the assembled strings do in the well: whether they fit, and what stands where.

Plain geometry and mechanics on a job and its assembly; the questions and their
limits are in :mod:`abreast.checks`.
"""
