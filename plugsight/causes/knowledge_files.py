"""What the knowledge files may hold, field by field (pydantic; unknown fields are refused)."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Chance = Annotated[float, Field(gt=0, lt=1)]
Text = Annotated[str, Field(min_length=1)]
SourceIds = Annotated[
    str, Field(pattern=r"^\S+( \S+)*$", description="ids of sources.toml, parted by blanks")
]
ScopeName = Literal["engine", "bank", "coil pair", "neighbours", "cylinder"]
FORMAT = Literal[1]
"""Raise this number when an old file would be read wrongly, and change the files in the same commit."""


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class SourceEntry(_Entry):
    """One source, its short form for the screen, and how sure it is."""

    short: Text
    citation: Text
    sureness: Literal["SEEN", "SEEN-2", "PRACTICE", "MEMORY"]


class SourcesFile(_Entry):
    """sources.toml."""

    format: FORMAT
    source: dict[str, SourceEntry]


class AppliesEntry(_Entry):
    """Facts of the engine that must hold for a cause or a check, each a list of allowed values."""

    stroke: list[Literal["four-stroke", "two-stroke", "rotary"]] | None = None
    cooling: list[Literal["liquid", "air"]] | None = None
    ignition: list[Literal["distributor", "wasted spark", "coil on plug", "magneto", "CDI"]] | None = None
    fuel_system: list[Literal["carburettor", "port injection", "direct injection"]] | None = None
    fuel: list[Literal["petrol", "leaded petrol", "alcohol", "LPG", "CNG"]] | None = None
    use: list[Literal["road", "small engine", "marine", "aircraft"]] | None = None
    turbo: list[bool] | None = None

    def known(self) -> dict[str, tuple[str | bool, ...]]:
        """The facts that are named."""
        return {name: tuple(values) for name, values in self.model_dump(exclude_none=True).items()}


class CauseEntry(_Entry):
    """One cause of causes.toml."""

    id: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    name: Text
    scopes: Annotated[list[ScopeName], Field(min_length=1)]
    applies: AppliesEntry = AppliesEntry()
    repair: Text
    source: SourceIds


class CausesFile(_Entry):
    """causes.toml."""

    format: FORMAT
    cause: list[CauseEntry]


class PriorEntry(_Entry):
    """How common a cause is per site, and what kind of cause it is."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_by_alias=True)

    engine: Chance | None = None
    bank: Chance | None = None
    coil_pair: Annotated[Chance | None, Field(alias="coil pair")] = None
    neighbours: Chance | None = None
    cylinder: Chance | None = None
    plug_only: bool = False
    benign: bool = False
    susceptible: Literal["", "far_from_pump", "near_intake_joint", "near_ventilation"] = ""

    def by_scope(self) -> dict[str, float]:
        """Chance per scope, named as in causes.toml."""
        named = {
            "engine": self.engine,
            "bank": self.bank,
            "coil pair": self.coil_pair,
            "neighbours": self.neighbours,
            "cylinder": self.cylinder,
        }
        return {scope: chance for scope, chance in named.items() if chance is not None}


class PriorsFile(_Entry):
    """priors.toml."""

    format: FORMAT
    source: SourceIds
    prior: dict[str, PriorEntry]


class FindingEntry(_Entry):
    """One finding of findings.toml."""

    level: Literal["plug", "cylinder", "bank", "engine"]
    leak: Chance
    here: Text
    gone: Text


class FindingsFile(_Entry):
    """findings.toml."""

    format: FORMAT
    source: SourceIds
    finding: dict[str, FindingEntry]


class LinksFile(_Entry):
    """links.toml: cause, then finding, then strength, sources and, where not all, the scopes at which it holds."""

    format: FORMAT
    links: dict[str, dict[str, tuple[Chance, SourceIds] | tuple[Chance, SourceIds, list[ScopeName]]]]


class OutcomesFile(_Entry):
    """outcomes.toml: check, then outcome, then which findings it shows present (true) or absent (false)."""

    format: FORMAT
    outcome: dict[str, dict[str, Annotated[dict[str, bool], Field(min_length=1)]]]


class KnowledgeFiles(_Entry):
    """All six files; a field is named as its file."""

    sources: SourcesFile
    causes: CausesFile
    priors: PriorsFile
    findings: FindingsFile
    links: LinksFile
    outcomes: OutcomesFile
