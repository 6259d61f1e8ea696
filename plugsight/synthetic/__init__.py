"""Physically based renders of spark plugs with exact truth. Imports the vocabulary only, so accuracy tests prove something.

Coordinates of every mesh: mm, z along the plug axis towards the firing end, origin at the centre of the shell face,
x towards the first ground electrode (azimuth 0), right-handed.
"""
