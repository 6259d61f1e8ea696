"""Confirmation room: what a person decided, when, and what they were shown."""

from plugsight.confirmation.blind import decides_blind
from plugsight.confirmation.confirm import confirm
from plugsight.confirmation.record import Confirmation, Decision

__all__ = ["Confirmation", "Decision", "confirm", "decides_blind"]
