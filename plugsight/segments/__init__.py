"""Segments room: ``View`` in, the plug's parts out, or why not."""

from plugsight.segments.canonical import find_parts_canonical
from plugsight.segments.find import find_parts
from plugsight.segments.record import Part, Segments

__all__ = ["Part", "Segments", "find_parts", "find_parts_canonical"]
