"""Set-level sentences beside the ranking: what was not compared, not seen, not used, and which rules apply."""

from collections.abc import Iterable, Iterator, Sequence

from plugsight.causes.catalogue import Catalogue
from plugsight.causes.codes import CodeKind, parse_code
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.evidence import Evidence
from plugsight.causes.record import Band, RankedCause
from plugsight.causes.seen import Seen
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, Cooling, EngineFacts, Stroke, Use

LEFT_OUT_SHOWN = 0.01
"""Prior mass of more than three shared causes at once, above which it is said."""


def remarks(evidence: Evidence, left_out: float) -> Iterator[str]:
    """Yield the sentences that apply to this engine and its evidence."""
    yield from _engine(evidence.engine)
    yield from _plugs(evidence)
    yield from _normal(evidence)
    yield from _codes(evidence.context)
    if left_out > LEFT_OUT_SHOWN:
        yield (
            f"At most three engine-wide causes are taken to act at once: {left_out:.1%} of what could be is left out."
        )


def crowded(left_out: Iterable[Seen], known: Catalogue) -> Iterator[str]:
    """Say which findings were too many to be weighed."""
    words = sorted({known.findings[s.finding].here for s in left_out})
    if words:
        yield f"Too many findings at once; not weighed, as they tell least: {', '.join(words)}."


def another_story(ranked: Sequence[RankedCause], model: EngineModel, signs: Sequence[Seen]) -> Iterator[str]:
    """Say so where the first cause explains a plug but none of the ``signs`` (complaints, codes), and another does."""
    nodes = {(n.cause.id, n.site): n for n in model.nodes}

    def explains(cause: RankedCause) -> bool:
        node = nodes.get((cause.id, cause.site))
        return node is None or any(model.raises(node, s) for s in signs)

    if not signs or not ranked or explains(ranked[0]):
        return
    told = [c for c in ranked if explains(c) and c.band is not Band.UNLIKELY]
    if told:
        first = ranked[0]
        yield (
            f"Two stories: {first.name} ({first.site}) explains what is seen there, not what is complained of or coded. "
            f"The likeliest that does: {told[0].name} ({told[0].site})."
        )


def _engine(engine: EngineFacts) -> Iterator[str]:
    if engine.use is Use.AIRCRAFT:
        yield (
            "Aircraft: these are findings and what usually brings them about. "
            "The approved data and a licensed person decide."
        )
    if engine.stroke is Stroke.TWO:
        yield "Two-stroke: oil on the plug is normal; valves, guides and their seals play no part."
        yield "Two-stroke: pale and hot means air leak or lean; it can seize, so don't run it until that is settled."
    if engine.stroke is Stroke.ROTARY:
        yield "Rotary: cylinders stand for rotors; the engine feeds a little oil on purpose."
    if engine.cooling is Cooling.AIR:
        yield "Air-cooled: no pump, no thermostat; fins, shroud and fan instead."
    if engine.cylinders == 1:
        yield "One cylinder: there is no set to compare with, so the ranking rests on this plug and what is told."


def _plugs(evidence: Evidence) -> Iterator[str]:
    if evidence.context.not_compared:
        names = ", ".join(map(str, evidence.context.not_compared))
        yield f"Not compared with the set (moved, newer or of another type): plug {names}."
    unseen = [str(c.place) for c in evidence.confirmations if not c.seen]
    if unseen:
        yield f"Counts as not seen (can't tell): plug {', '.join(unseen)}."
    cleaned = [
        str(c.place) for c in evidence.confirmations if c.answer(BenchQuestion.CLEANED_BEFORE_PHOTO) == "yes"
    ]
    if cleaned:
        yield f"Wiped or cleaned before it was looked at, so its deposit is no evidence: plug {', '.join(cleaned)}."
    if evidence.context.cleaned_before:
        yield "These plugs were cleaned before: what they show is only as old as that cleaning."


def _normal(evidence: Evidence) -> Iterator[str]:
    seen = [c for c in evidence.confirmations if c.seen]
    told = {*evidence.context.complaints} - {"routine"} or evidence.context.codes
    if seen and told and all(c.deposits == (Deposit.LIGHT,) and not c.damage for c in seen):
        yield "The plugs that were seen look normal: they speak against a fault of mixture, oil or heat."


def _codes(context: Context) -> Iterator[str]:
    for code in map(parse_code, context.codes):
        if code.kind is CodeKind.KNOCK_CIRCUIT:
            yield f"{code.text} says that a knock sensor's circuit failed: no evidence of knock."
        elif code.kind is CodeKind.NOTED:
            yield f"{code.text} is noted, not interpreted."
        elif code.kind is CodeKind.COIL_CIRCUIT:
            yield f"{code.text} names a coil by letter: find out which cylinder that is."
