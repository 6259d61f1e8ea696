"""plugsight: from photographs and meter readings of spark plugs to decisions at the bench.

Read ``plugsight/flow.py`` first: it shows the whole road from photo to report.
"""

__version__ = "0.1.0"
