"""Settings from the environment, each with its default and one line of meaning, and the clock."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

MEANINGS = {
    "POTROUNDS_HOME": "Folder for the database, photos and backups. Default: ./potrounds-data",
    "POTROUNDS_DATABASE": "Database address. Default: sqlite:///<home>/potrounds.sqlite",
    "POTROUNDS_HOSTS": "Host names it answers to, with commas. Default: localhost,127.0.0.1",
    "POTROUNDS_PROXIES": "How many reverse proxies stand in front and may be trusted. Default: 0",
    "POTROUNDS_PORT": "Port that `potrounds serve` and `potrounds demo` listen on. Default: 8077",
    "POTROUNDS_SMTP": "Mail server as host:port. Default: none, and no mail is sent",
    "POTROUNDS_SMTP_SECURITY": "starttls, tls or none (this machine only). Default: starttls",
    "POTROUNDS_SMTP_USER": "Name to sign in to the mail server with. Default: none",
    "POTROUNDS_SMTP_PASSWORD": "Its password. Default: none",
    "POTROUNDS_MAIL_FROM": "Address that mail is sent from. Default: the mail server's user",
    "POTROUNDS_STATIC": "Folder of the built app. Default: the one inside the package",
}


@dataclass(frozen=True)
class MailServer:
    """Where mail is handed in. The password is never shown."""

    host: str
    port: int
    sender: str
    security: str = "starttls"
    user: str | None = None
    password: str | None = field(default=None, repr=False)


@dataclass(frozen=True)
class Settings:
    """What the operator decides; what the coordinator decides lives in the register."""

    home: Path
    database: str
    hosts: tuple[str, ...] = ("localhost", "127.0.0.1")
    proxies: int = 0
    port: int = 8077
    static: Path | None = None
    mail: MailServer | None = None
    push_local: bool = False  # tests only: pushes may go to this machine; no variable sets it

    @property
    def photo_folder(self) -> Path:
        """Where re-encoded photos lie, named by the hash of the bytes that were sent."""
        return self.home / "photos"


def from_environment(environ: dict[str, str] | None = None) -> Settings:
    """Read the settings named in MEANINGS; anything absent takes its default."""
    env = dict(os.environ if environ is None else environ)
    home = Path(env.get("POTROUNDS_HOME") or "potrounds-data").absolute()
    static = env.get("POTROUNDS_STATIC")
    return Settings(
        home=home,
        database=env.get("POTROUNDS_DATABASE") or f"sqlite:///{home / 'potrounds.sqlite'}",
        hosts=tuple(
            host.strip()
            for host in (env.get("POTROUNDS_HOSTS") or "localhost,127.0.0.1").split(",")
            if host.strip()
        ),
        proxies=int(env.get("POTROUNDS_PROXIES") or 0),
        port=int(env.get("POTROUNDS_PORT") or 8077),
        static=Path(static) if static else None,
        mail=_mail_server(env),
    )


def _mail_server(env: dict[str, str]) -> MailServer | None:
    host, _, port = (env.get("POTROUNDS_SMTP") or "").rpartition(":")
    if not env.get("POTROUNDS_SMTP"):
        return None
    security = env.get("POTROUNDS_SMTP_SECURITY") or "starttls"
    sender = env.get("POTROUNDS_MAIL_FROM") or env.get("POTROUNDS_SMTP_USER") or ""
    if not host or security not in ("starttls", "tls", "none") or "@" not in sender:
        raise ValueError(
            "POTROUNDS_SMTP is host:port, POTROUNDS_SMTP_SECURITY is starttls, tls or none, and "
            "POTROUNDS_MAIL_FROM an address"
        )
    return MailServer(
        host=host,
        port=int(port),
        sender=sender,
        security=security,
        user=env.get("POTROUNDS_SMTP_USER") or None,
        password=env.get("POTROUNDS_SMTP_PASSWORD") or None,
    )


@dataclass
class Clock:
    """The server's only clock. The demo town's stands at its season's end by a constant offset."""

    offset: timedelta = field(default_factory=timedelta)
    source: Callable[[], datetime] = lambda: datetime.now(UTC)

    def now(self) -> datetime:
        """The present moment, aware, in UTC."""
        return self.source() + self.offset
