"""What the check files may hold, field by field (pydantic; unknown fields are refused)."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from plugsight.causes.knowledge_files import AppliesEntry, SourceIds, Text

FORMAT = Literal[1]
"""Raise this number when an old file would be read wrongly, and change the files in the same commit."""


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class OutcomeEntry(_Entry):
    """One outcome: how it is said, and what it means."""

    words: Text
    meaning: Text


class CheckEntry(_Entry):
    """One check. ``cautions`` must name at least one: a check without a caution fails to load.

    ``locates``: causes whose repair needs this check to show where, or to clear the cylinder, however sure the cause is.
    """

    name: Text
    how: Text
    minutes: Annotated[float, Field(gt=0, le=240)]
    tools: Text
    skill: Literal["anyone", "owner with care", "technician", "licensed person"]
    intrusive: Annotated[int, Field(ge=0, le=3)]
    applies: AppliesEntry = AppliesEntry()
    min_cylinders: Annotated[int, Field(ge=1, le=16)] = 1
    locates: list[Text] = []
    cautions: Annotated[list[Text], Field(min_length=1)]
    source: SourceIds
    outcomes: Annotated[dict[str, OutcomeEntry], Field(min_length=2)]


class ChecksFile(_Entry):
    """ignition.toml, fuel_and_air.toml, mechanical.toml, cooling.toml."""

    format: FORMAT
    check: dict[str, CheckEntry]


class CautionEntry(_Entry):
    """One caution: in words with its source, or the same as one of the vocabulary's."""

    words: Text | None = None
    source: SourceIds | None = None
    same_as: Text | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> "CautionEntry":
        own = self.words is not None and self.source is not None and self.same_as is None
        shared = self.words is None and self.source is None and self.same_as is not None
        if not (own or shared):
            msg = "a caution has words and a source, or same_as alone"
            raise ValueError(msg)
        return self


class CautionsFile(_Entry):
    """cautions.toml."""

    format: FORMAT
    caution: dict[str, CautionEntry]
