"""View room: ``Photo`` in, the plug upright, neutral and to scale out, or why not."""

from plugsight.view.record import Card, Pose, Scale, View, ViewKind
from plugsight.view.take import take_view

__all__ = ["Card", "Pose", "Scale", "View", "ViewKind", "take_view"]
