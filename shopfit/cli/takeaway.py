"""Commands for what is carried off: the order, finishes, labels and solid models."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.checking import default_out, read_both
from shopfit.cli.guard import console, faults_said, print_json
from shopfit.cli.shared import FOLDER, as_json

if TYPE_CHECKING:
    from shopfit.drawing.labelsheet import LabelSize


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option("-o", "--out", type=FOLDER, help="Folder for order.csv and order.xlsx.")
@as_json
def order(scenario: Path, layout: Path | None, out: Path | None, as_json: bool) -> None:
    """Print what to order from whom: spares, extras, carriage and tax included.

    Terms are `ordering` in fixtures.yaml; without them the purchases are ordered from the list.
    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said(as_json):
        from shopfit import takeaway
        from shopfit.outputs import write_some

        given, measured = read_both(scenario, layout, strict=True)
        found = takeaway.order(given, measured)
        files = takeaway.order_files(given, measured, always=True) if out is not None else {}
        names = write_some(files, out) if out is not None else ()
        if as_json:
            print_json({**found.model_dump(mode="json"), "files": list(names)})
            return
        from shopfit.cli.orderlists import order_tables

        screen = console()
        for table in order_tables(given.shop, found):
            screen.print(table)
        if names:
            screen.print(f"{' and '.join(names)} written to {out}")


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option("-o", "--out", type=FOLDER, help="Folder for finishes.csv and finishes-parts.csv.")
@as_json
def finishes(scenario: Path, layout: Path | None, out: Path | None, as_json: bool) -> None:
    """Print what wall board, mouldings, paint, floor and insulation the shell takes.

    What is counted is `finishes` in shop.yaml. LAYOUT is a layout file or an output folder;
    out/<scenario> if left out.
    """
    with faults_said(as_json):
        from shopfit import takeaway
        from shopfit.outputs import write_some

        given, measured = read_both(scenario, layout, strict=True)
        found = takeaway.finishes(given, measured)
        files = takeaway.finish_files(given, measured) if out is not None else {}
        names = write_some(files, out) if out is not None else ()
        if as_json:
            print_json({**found.model_dump(mode="json"), "files": list(names)})
            return
        from shopfit.cli.orderlists import finish_tables

        screen = console()
        if not found.rows:
            screen.print("The shop names no finishes; add `finishes` to shop.yaml.")
        for table in finish_tables(given.shop, found):
            screen.print(table)
        if names:
            screen.print(f"{' and '.join(names)} written to {out}")


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option("-o", "--out", type=FOLDER, help="File.  [default: out/<scenario>/labels.pdf]")
@click.option("--size", nargs=2, metavar="WIDTH HEIGHT", help="Of a label, such as 70mm 37mm.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="[default: by the units]")
def labels(
    scenario: Path,
    layout: Path | None,
    out: Path | None,
    size: tuple[str, str] | None,
    paper: str | None,
) -> None:
    """Print shelf-edge labels, one a line, with bars where range.csv gives a code.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said():
        from shopfit import takeaway
        from shopfit.files.writing import write_bytes

        label = _size(size)
        given, measured = read_both(scenario, layout, strict=True)
        path = out if out is not None else default_out(scenario) / "labels.pdf"
        try:
            data = takeaway.labels(given, measured, label, paper or "")
        except ValueError as error:
            raise click.BadParameter(str(error), param_hint="--size") from error
        write_bytes(path, data)
        for words in takeaway.codes_shared(given, measured):
            click.echo(f"Note: {words}; a till cannot tell these apart.", err=True)
        click.echo(str(path))


def _size(given: tuple[str, str] | None) -> LabelSize | None:
    from shopfit.drawing.labelsheet import LabelSize
    from shopfit.numerals import UnitError
    from shopfit.units import parse_length

    if given is None:
        return None
    try:
        return LabelSize(parse_length(given[0]), parse_length(given[1]))
    except UnitError as error:
        raise click.BadParameter(str(error), param_hint="--size") from error


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option("-o", "--out", type=FOLDER, help="File.  [default: out/<scenario>/shop.<form>]")
@click.option(
    "--form",
    type=click.Choice(["glb", "ifc"]),
    default="glb",
    show_default=True,
    help="glTF 2.0 for viewers, or IFC 4 for building models.",
)
@click.option("--goods/--no-goods", default=True, show_default=True, help="Show goods in glTF.")
def solids(scenario: Path, layout: Path | None, out: Path | None, form: str, goods: bool) -> None:
    """Write the fitted shop in three dimensions.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said():
        from shopfit import takeaway
        from shopfit.files.writing import write_bytes
        from shopfit.solids.ifc import MissingLibraryError

        given, measured = read_both(scenario, layout, strict=True)
        path = out if out is not None else default_out(scenario) / f"shop.{form}"
        try:
            data = takeaway.solid_file(given, measured, "ifc" if form == "ifc" else "glb", goods)
        except MissingLibraryError as missing:
            raise click.UsageError(
                "Building models want a library more: pip install 'shopfit[ifc]'"
            ) from missing
        write_bytes(path, data)
        click.echo(str(path))
