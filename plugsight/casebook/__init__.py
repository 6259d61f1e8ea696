"""Casebook room: an inspection that is saved with every step, for the command line and the page alike."""

from plugsight.casebook.book import Casebook

__all__ = ["Casebook"]
