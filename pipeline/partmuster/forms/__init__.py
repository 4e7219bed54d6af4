"""Workbooks that people fill in: written, recognised and read; what they say is applied elsewhere.

A form has a kind (``kinds``), a hidden sheet that tells kind, version and club, a place for the
name of the person who fills it in, and a row for each thing asked, with its id in a hidden column.
One more kind of form is one more module such as ``mending``, and a line in ``known``.
"""
