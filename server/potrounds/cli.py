"""The command `potrounds`: set up a town, serve it, and what a coordinator does at a desk."""

from __future__ import annotations

import errno
import json
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import click
import waitress
from tqdm import tqdm

from potrounds import __version__, api, cli_files
from potrounds.app import create_app, open_town
from potrounds.config import Clock, Settings, from_environment
from potrounds.services import (
    assess,
    demo_town,
    digest,
    freeze_warning,
    invites,
    people,
    print_tags,
    push_worker,
    register,
    rounds,
    set_up,
    tags,
    weather,
)
from potrounds.services.context import Context
from potrounds.services.refusal import Refusal
from potrounds.store import database, derived
from potrounds.words import t

URGENCIES = ("today", "this-week", "watch")
ROLE = click.Choice(["volunteer", "coordinator"])


class Sentences(click.Group):
    """A group whose commands end with one clear sentence when something is in the way."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; a refusal becomes its sentence and exit code 1."""
        try:
            return super().invoke(ctx)
        except Refusal as refusal:
            raise click.ClickException(refusal.detail) from None
        except database.Trouble as trouble:
            raise click.ClickException(f"The database cannot be used: {trouble}.") from None
        except OSError as error:
            what = f"{error.filename}: " if error.filename else ""
            raise click.ClickException(f"{what}{error.strerror or error}.") from None


@click.group(cls=Sentences)
@click.version_option(__version__, prog_name="potrounds")
def main() -> None:
    """Check-ins, flags and winterization for a town's self-watering planters."""
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")


def _settings() -> Settings:
    try:
        return from_environment()
    except ValueError as error:
        raise click.ClickException(f"A setting is wrong or no number: {error}.") from None


@contextmanager
def _town(must_exist: bool = True) -> Iterator[Context]:
    """The town of the settings, for the length of a command."""
    try:
        with _opened(_settings(), must_exist) as ctx:
            yield ctx
    finally:
        database.shut()


@contextmanager
def _opened(settings: Settings, must_exist: bool = True) -> Iterator[Context]:
    """An opened town with a connection; it stays open for whoever serves it afterwards."""
    clock = open_town(settings)
    with database.connection():
        if must_exist and not set_up.is_set_up():
            raise click.ClickException(t("cli.no_town", home=settings.home))
        yield Context(settings, clock)


def _serve(settings: Settings, clock: Clock, host: str) -> None:
    app = create_app(settings, clock)
    push_worker.start(Context(settings, clock))
    try:
        waitress.serve(
            app,
            host=host,
            port=settings.port,
            threads=8,
            ident=None,
            max_request_header_size=64 * 1024,
            max_request_body_size=4 * 1024 * 1024,
            # With a proxy in front, create_app reads its headers; without one nobody may set them.
            clear_untrusted_proxy_headers=not settings.proxies,
        )
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise click.ClickException(t("cli.port_taken", port=settings.port)) from None
        raise


def _say_invite(made: dict[str, Any]) -> None:
    until = datetime.fromisoformat(made["expires_at"]).strftime("%Y-%m-%d %H:%M UTC")
    click.echo(t("cli.invite", name=made["name"], role=made["role"], until=until))
    click.echo(made["url"])


@main.command()
@click.option("--port", type=int, help="Port to listen on. Default: POTROUNDS_PORT.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Open it on a day of its season.")
def demo(port: int | None, on: datetime | None) -> None:
    """Open the demo town: an invented place with one season of work."""
    settings = replace(_settings(), port=port) if port else _settings()
    with _opened(settings, must_exist=False) as ctx:
        if not set_up.is_set_up():
            with tqdm(desc=t("cli.demo_loading"), unit="record", leave=False, disable=None) as bar:
                clock = demo_town.load(
                    ctx,
                    progress=lambda done, total: _move(bar, done, total),
                    loaded=lambda: bar.write(t("cli.demo_reckoning")),
                    on=on.date() if on else None,
                )
            ctx = Context(settings, clock)
        elif not register.overview(ctx)["settings"]["demo"]:
            raise click.ClickException(t("cli.already_a_town", home=settings.home))
        elif on is not None:
            raise click.ClickException(t("cli.demo_there", home=settings.home))
        url = f"http://localhost:{settings.port}"
        name, password = demo_town.new_password(ctx)
        made = invites.create_invite(ctx, {"role": "volunteer", "name": "Guest"}, url)
        town = register.overview(ctx)["settings"]["town_name"]
    click.echo(t("cli.demo_open", town=town, day=ctx.now().date(), url=url))
    click.echo(t("cli.coordinator", name=name))
    click.echo(t("cli.password", password=password))
    _say_invite(made)
    _serve(settings, ctx.clock, "127.0.0.1")


def _move(bar: Any, done: int, total: int) -> None:
    bar.total = total
    bar.update(done - bar.n)


@main.command()
@click.option("--town", "town_name", prompt="Name of the town", help="Name of the town.")
@click.option("--zone", default="UTC", show_default=True, help="Name of the time zone, e.g. CET.")
@click.option("--coordinator", prompt="Name of the coordinator", help="The first coordinator.")
@click.password_option(help="15 to 128 characters.")
def init(town_name: str, zone: str, coordinator: str, password: str) -> None:
    """Set up a town of your own, with its first coordinator."""
    with _town(must_exist=False) as ctx:
        if set_up.is_set_up():
            name = register.overview(ctx)["settings"]["town_name"]
            raise click.ClickException(t("cli.town_there", home=ctx.settings.home, town=name))
        set_up.set_up(ctx, town_name, zone, coordinator, password)
        click.echo(t("cli.town_made", town=town_name, home=ctx.settings.home))


@main.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=int, help="Port to listen on. Default: POTROUNDS_PORT.")
def serve(host: str, port: int | None) -> None:
    """Serve the town."""
    settings = replace(_settings(), port=port) if port else _settings()
    with _opened(settings) as ctx:
        town = register.overview(ctx)["settings"]["town_name"]
    click.echo(t("cli.serving", town=town, url=f"http://localhost:{settings.port}"))
    click.echo(t("cli.https"))
    _serve(settings, ctx.clock, host)


@main.group("people")
def people_group() -> None:
    """People of the town."""


@people_group.command("add")
@click.argument("name")
@click.option("--role", type=ROLE, default="volunteer", show_default=True)
def add_person(name: str, role: str) -> None:
    """Add a person; a coordinator needs a password."""
    with _town() as ctx:
        asked = {"name": name, "role": role}
        if role == "coordinator":
            asked["password"] = click.prompt("Password", hide_input=True, confirmation_prompt=True)
        added = people.add_person(ctx, asked)
        click.echo(t("cli.person_added", name=added["name"], role=added["role"]))


@people_group.command("list")
def list_people() -> None:
    """List the people of the town."""
    with _town() as ctx:
        for person in register.overview(ctx)["people"]:
            click.echo(
                f"{person['id']}  {person['role']:<11}  {person['state']:<6}  {person['name']}"
            )


@main.command()
@click.argument("name")
@click.option("--role", type=ROLE, default="volunteer", show_default=True)
@click.option("--address", help="Address of the server. Default: http://localhost and the port.")
def invite(name: str, role: str, address: str | None) -> None:
    """Make a link that lets one phone join, once."""
    with _town() as ctx:
        origin = (address or f"http://localhost:{ctx.settings.port}").rstrip("/")
        _say_invite(invites.create_invite(ctx, {"role": role, "name": name}, origin))


@main.command("tags")
@click.option("--planters", default="all", show_default=True, help="Ids with commas.")
@click.option("--size", type=click.Choice(["small", "medium", "large"]), default="medium")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4")
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), default="tags.pdf")
def write_tags(planters: str, size: str, paper: str, out: Path) -> None:
    """Write a PDF of tags to print."""
    with _town() as ctx:
        ids = None if planters == "all" else [name for name in planters.split(",") if name]
        sheet = print_tags.sheet_pdf(ctx, ids, size=size, paper=paper)
        out.write_bytes(sheet)
        count = len(tags.sheet_tags(ctx, ids))
        click.echo(t("cli.tags_written", count=count, file=out))


@main.command("assess")
def assess_town() -> None:
    """Fetch the forecast if an address is set, then assess every planter, as a nightly job does."""
    with _town() as ctx:
        if register.overview(ctx)["settings"]["weather_url"]:
            try:
                weather.fetch(ctx)
            except Refusal as refusal:
                click.echo(refusal.detail, err=True)
        click.echo(t("cli.assessed", count=_with_bar(assess.assess_all, ctx)))
        freeze_warning.warn(ctx)
        digest.send_digest(ctx)


@main.command()
def rebuild() -> None:
    """Throw away all that is computed, and compute it anew from the records."""
    with _town() as ctx:
        click.echo(t("cli.rebuilt", count=_with_bar(assess.rebuild, ctx)))


def _with_bar(work: Any, ctx: Context) -> int:
    with tqdm(unit="planter", leave=False, disable=None) as bar:
        work(ctx, progress=lambda done, total: _move(bar, done, total))
        return int(bar.total or 0)


@main.command()
def flags() -> None:
    """List the flags that stand, the most urgent first."""
    with _town():
        standing = [
            (card.content["name"], flag)
            for card in derived.planter_cards()
            if card.content
            for flag in card.content["flags"]
            if not flag["quiet"]
        ]
        for planter, flag in sorted(standing, key=lambda one: URGENCIES.index(one[1]["urgency"])):
            click.echo(f"{flag['urgency']:<9}  {planter}: {flag['name']}. {flag['sentence']}")
        if not standing:
            click.echo(t("cli.no_flags"))


@main.command("rounds")
def plan_rounds() -> None:
    """Show the rounds of the next two weeks as they would be planned now; nobody is told."""
    with _town() as ctx:
        plan = rounds.plan(ctx)
        for day in plan["days"]:
            for one in day["rounds"]:
                stops = ", ".join(stop["name"] for stop in one["stops"])
                values = {"day": day["date"], "name": one["person"]["name"], "stops": stops}
                litres, minutes = f"{one['litres_l']:.0f}", one["takes_min"]
                click.echo(t("cli.round", **values, litres=litres, minutes=minutes))
        for note in plan["notes"]:
            click.echo(note)
        for change in plan["changes"]:
            click.echo(change["sentence"])


@main.command()
def openapi() -> None:
    """Print the OpenAPI document."""
    document = api.document(create_app(_settings(), Clock()))
    click.echo(json.dumps(document, indent=2))


cli_files.add_to(main, _town)
cli_files.add_mail(main, _town)
cli_files.add_push(main, _town)


if __name__ == "__main__":
    main()
