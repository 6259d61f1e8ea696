"""Words and small records that all rooms share; no logic.

Conventions, stated once: arrays are ``(rows, cols)`` or ``(rows, cols, 3)``, indexed ``[row, col]``, pixel centres
at whole numbers; colour is RGB; lengths in mm, angles in degrees, resistance in ohm; the unit is in the name.
"""
