"""The engine file: what a person wrote about one engine, checked as a whole before anything is done with it."""

from plugsight.cli.engine_file.problems import ManyProblems
from plugsight.cli.engine_file.read import read_engine_file
from plugsight.cli.engine_file.record import EngineFile, FileDecision, FilePhoto, FilePlug

__all__ = ["EngineFile", "FileDecision", "FilePhoto", "FilePlug", "ManyProblems", "read_engine_file"]
