"""The ``plugsight`` command: one line per command here, each in a file of its own."""

from typing import Annotated

import typer

from plugsight import __version__
from plugsight.cli.on_demand import Command, OnDemand, add_commands

_JOB, _BENCH, _KEEP, _MODEL = "The job", "One inspection, step by step", "The store", "Labels and model"

COMMANDS = (
    Command("demo", "plugsight.cli.demo_command:demo", "Run the whole job on an invented engine and leave a report.", _JOB),
    Command("look", "plugsight.cli.look_command:look", "Look at the photos of one plug: what is measured, what it suggests.", _JOB),
    Command("batch", "plugsight.cli.batch_command:batch", "Look at many photos: one line of results each (JSON Lines), errors included.", _JOB),
    Command("engine", "plugsight.cli.engine_command:engine", "Run a whole engine from one file: photos, readings, decisions, report.", _JOB),
    Command("page", "plugsight.cli.page_command:page", "Open the same job as a page in the browser, on this computer only.", _JOB),
    Command("sheet", "plugsight.cli.sheet_command:sheet", "Make a sheet to print for photographing plugs.", _JOB),
    Command("list", "plugsight.cli.list_command:list_inspections", "List saved inspections, the last changed first.", _BENCH),
    Command("show", "plugsight.cli.show_command:show", "Show where one inspection stands and what is missing.", _BENCH),
    Command("photo", "plugsight.cli.bench_commands:photo", "Add photos to one plug.", _BENCH),
    Command("reading", "plugsight.cli.bench_commands:reading", "Enter gauge and meter readings of one plug.", _BENCH),
    Command("decide", "plugsight.cli.decide_command:decide", "Decide what is seen on a plug: confirm, correct, or can't tell.", _BENCH),
    Command("conclude", "plugsight.cli.conclude_command:conclude", "Work out causes, the next check and each plug's verdict.", _BENCH),
    Command("check", "plugsight.cli.outcome_commands:check", "Enter what a check showed.", _BENCH),
    Command("repair", "plugsight.cli.outcome_commands:repair", "Enter what was repaired and whether it helped.", _BENCH),
    Command("report", "plugsight.cli.report_command:report", "Write the report as PDF, HTML and JSON.", _BENCH),
    Command("history", "plugsight.cli.history_command:history", "Follow one engine's plugs over its inspections.", _KEEP),
    Command("backup", "plugsight.cli.store_commands:backup", "Copy the store, photos included, into one file.", _KEEP),
    Command("restore", "plugsight.cli.store_commands:restore", "Make a store from a backup.", _KEEP),
    Command("verify", "plugsight.cli.store_commands:verify", "Check that the store is whole.", _KEEP),
    Command("share", "plugsight.cli.label_commands:share", "Write the confirmed photos as a labelled set that others can read.", _MODEL),
    Command("adopt", "plugsight.cli.label_commands:adopt", "Take in a labelled set, so that 'plugsight learn' can use it.", _MODEL),
    Command("table", "plugsight.cli.learn_command:table", "Measure every crop of a render folder into one feature table.", _MODEL),
    Command("learn", "plugsight.cli.learn_command:learn", "Train a model from a feature table and the confirmed photos, and write its card.", _MODEL),
    Command("score", "plugsight.cli.learn_command:score", "Print every figure of a model on any labelled set or feature table.", _MODEL),
    Command("benchmark", "plugsight.cli.benchmark_command:benchmark", "Print every figure the suggestion is held to, with its goal.", _MODEL),
    Command("promote", "plugsight.cli.promote_commands:promote", "Put a new model to use if it proves better on plugs that neither model saw.", _MODEL),
    Command("revert", "plugsight.cli.promote_commands:revert", "Go back to the model that was used before.", _MODEL),
)  # fmt: skip

app = typer.Typer(
    cls=OnDemand,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_show_locals=False,
    context_settings={"obj": {c.name: c.where for c in COMMANDS}, "help_option_names": ["-h", "--help"]},
    epilog="Exit codes: 0 done; 2 unusable input, nothing was done; 3 a person has to decide or look at something.",
)
add_commands(app, COMMANDS)


def _say_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"plugsight {__version__}")
        raise typer.Exit


@app.callback()
def plugsight(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_say_version, is_eager=True, help="Say the version and stop."),
    ] = False,
) -> None:
    """Spark plugs on the bench: photos and meter readings to decisions.

    Photograph the plugs beside a grey card, confirm or correct what the photos suggest, add gauge and meter readings,
    and get causes, the next check, a verdict per plug and a report. plugsight advises, a person decides.
    """
