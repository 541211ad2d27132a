"""Commands that take a town to a file and back, or to a mail and to phones."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import click
from tqdm import tqdm

from potrounds.services import archive, archive_reading, backup, digest, freeze_warning, push_key
from potrounds.services.context import Context
from potrounds.words import t

OpenTown = Callable[[bool], AbstractContextManager[Context]]
NEW_FILE = click.Path(dir_okay=False, writable=True, path_type=Path)
OLD_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


def add_to(main: click.Group, town: OpenTown) -> None:
    """Add these commands; `town(must_exist)` opens the town of the settings."""

    @main.command("export")
    @click.argument("file", type=NEW_FILE)
    def export_town(file: Path) -> None:
        """Write the whole town, photos too, to one file."""
        with town(True) as ctx, _bar("part") as bar:
            manifest = archive.write(ctx, file, progress=bar)
        click.echo(t("cli.exported", parts=len(manifest["parts"]), file=file))
        if manifest["missing_photos"]:
            click.echo(t("cli.photos_missing", count=len(manifest["missing_photos"])), err=True)
        click.echo(t("cli.keep_safe"))

    @main.command("import")
    @click.argument("file", type=OLD_FILE)
    def import_town(file: Path) -> None:
        """Read a whole town from such a file into an empty folder."""
        with town(False) as ctx, _bar("part") as bar:
            loaded = archive_reading.load(ctx, file, progress=bar)
        click.echo(t("cli.imported", rows=loaded["rows"], photos=loaded["photos"]))
        if loaded["missing_photos"]:
            click.echo(t("cli.photos_missing", count=loaded["missing_photos"]), err=True)

    @main.command("backup")
    @click.argument("file", type=NEW_FILE)
    def back_up(file: Path) -> None:
        """Copy the database to a file, while it is in use. Photos lie in <home>/photos."""
        with town(True) as ctx:
            backup.back_up(ctx, file)
        click.echo(t("cli.backed_up", file=file))

    @main.command("restore")
    @click.argument("file", type=OLD_FILE)
    def restore(file: Path) -> None:
        """Go back to such a copy; stop the server first. What is there now is kept."""
        with town(False) as ctx:
            done = backup.restore(ctx, file)
        click.echo(t("cli.restored", file=file, kept=done["kept"]))
        if done["missing_photos"]:
            click.echo(t("cli.photos_missing", count=done["missing_photos"]), err=True)


def add_mail(main: click.Group, town: OpenTown) -> None:
    """Add the command that sends what is due."""

    @main.command("digest")
    def send_digest() -> None:
        """Send today's mail if something needs someone, and a freeze warning if one is due."""
        said = {
            digest.OFF: t("cli.digest_off"),
            digest.NOTHING: t("cli.digest_nothing"),
            digest.DONE: t("cli.digest_sent"),
            digest.BEFORE: t("cli.digest_before"),
        }
        with town(True) as ctx:
            freeze_warning.warn(ctx)
            done = digest.send_digest(ctx)
        if done == digest.FAILED:
            raise click.ClickException(t("cli.digest_failed"))
        click.echo(said[done])


def add_push(main: click.Group, town: OpenTown) -> None:
    """Add the command that makes the key for pushes."""

    @main.command("push-key")
    @click.option("--new", is_flag=True, help="Make another one; phones turn pushes on again.")
    def make_push_key(new: bool) -> None:
        """Make the key that pushes to phones are signed with, in the town's home."""
        with town(True) as ctx:
            dropped = push_key.make(ctx, anew=new)
            file = push_key.file_of(ctx)
        click.echo(t("cli.push_key_made", file=file))
        if dropped:
            click.echo(t("cli.push_dropped", count=dropped))


class _bar:
    """A bar over so many steps, told by a callback."""

    def __init__(self, unit: str) -> None:
        self.bar = tqdm(unit=unit, leave=False, disable=None)

    def __enter__(self) -> Callable[[int, int], None]:
        return self._move

    def __exit__(self, *_: object) -> None:
        self.bar.close()

    def _move(self, done: int, total: int) -> None:
        self.bar.total = total
        self.bar.update(done - self.bar.n)
