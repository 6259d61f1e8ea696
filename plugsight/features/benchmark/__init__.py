"""Benchmark of photo, view, segments and features against renders with exact truth.

``python -m plugsight.features.benchmark FOLDER`` prints every figure with its count and interval. The truth is read from
the files that the renderer wrote; no code is shared with it.
"""
