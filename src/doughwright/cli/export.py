"""``doughwright export``: the library as files that say what their authors wrote."""

from pathlib import Path

import click

from doughwright.cli.library import library_options, library_reporting, open_library_at


@click.command("export")
@click.argument("folder", type=click.Path())
@click.option("--replace", is_flag=True, help="Write over files that say something else.")
@library_options
@library_reporting
def command(
    folder: str,
    data: str | None,
    database: str | None,
    replace: bool,  # noqa: FBT001 - a flag
) -> None:
    """Write all breads, kitchens, series and the shelf as YAML into FOLDER, or FOLDER.zip.

    Each file says to the letter what its author wrote last; `import` reads them back. What
    is put away stays behind. For all of it, the history as well, see `backup`.
    """
    open_library_at(data, database)
    from doughwright.store.folders import as_zip, export_to  # noqa: PLC0415 - once it is open
    from doughwright.store.writing import write_new  # noqa: PLC0415 - as above

    path = Path(folder)
    if path.suffix.casefold() == ".zip":
        write_new(path, as_zip(), replace=replace)
        click.echo(f"{path}: written.")
        return
    written = export_to(path, replace=replace)
    for name in written:
        click.echo(path / name)
    click.echo(f"{len(written)} files written; what said the same already was left alone.")
