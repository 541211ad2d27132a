"""Keys, encryption and the one request of a push, against the RFCs and a service on this machine.

Sources: RFC 8291 section 5 and appendix A (encryption, https://www.rfc-editor.org/rfc/rfc8291),
RFC 8292 section 2.4 (signed token, https://www.rfc-editor.org/rfc/rfc8292), RFC 9110 10.2.3.
"""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

from potrounds.services import push_wire
from potrounds.services.push_wire import from_text, to_text
from push_service import CURVE, HELD_S, Browser, PushService, decrypt, point, push_service

# RFC 8291, appendix A: all values as printed there.
TEXT = b"When I grow up, I want to be a watermelon"
SENDER = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
SENDER_PUBLIC = (
    "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
)
BROWSER = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
P256DH = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
    "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
    "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)
# RFC 8292, section 2.4: the example's token and key.
TOKEN = (
    "eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9.eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiOjE0"
    "NTM1MjM3NjgsInN1YiI6Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0.i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCG"
    "SK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9OkSSHzvoD1oA"
)
TOKEN_KEY = (
    "BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs"
)


@pytest.fixture
def service() -> Iterator[PushService]:
    with push_service() as one:
        yield one


def private(text: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(from_text(text), "big"), CURVE)


def check(token: str, key: str) -> None:
    """ES256 of RFC 7518 3.4: the signature is r and s side by side, over the first two parts."""
    signed, _, signature = token.rpartition(".")
    raw = from_text(signature)
    assert len(raw) == 64
    pair = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    public = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, from_text(key))
    public.verify(pair, signed.encode(), ec.ECDSA(hashes.SHA256()))


def test_the_body_is_that_of_the_rfc_to_the_last_byte() -> None:
    sender = private(SENDER)
    assert to_text(point(sender.public_key())) == SENDER_PUBLIC
    assert to_text(push_wire.encrypt(TEXT, P256DH, AUTH, from_text(SALT), sender)) == BODY


def test_a_browser_reads_the_rfcs_body_and_ours() -> None:
    """The reader of these tests is itself checked against the RFC."""
    assert decrypt(from_text(BODY), private(BROWSER), from_text(AUTH)) == TEXT
    said = "Fährlände 1: Plug in · ziehen".encode()
    bodies = [push_wire.encrypt(said, P256DH, AUTH) for _ in range(2)]
    assert [decrypt(one, private(BROWSER), from_text(AUTH)) for one in bodies] == [said, said]
    assert bodies[0][:16] != bodies[1][:16]  # a new salt and key each time, RFC 8291 3.1 and 3.3
    assert bodies[0][21:86] != bodies[1][21:86]


def test_the_longest_text_fills_one_record_and_no_more_goes() -> None:
    """RFC 8291 section 4: a push service takes at least 4096 bytes."""
    assert len(push_wire.encrypt(b"x" * push_wire.MOST_TEXT, P256DH, AUTH)) == 4096
    with pytest.raises(ValueError, match="3993"):
        push_wire.encrypt(b"x" * (push_wire.MOST_TEXT + 1), P256DH, AUTH)


def test_the_token_has_the_form_of_the_rfc(tmp_path: Path) -> None:
    """The RFC's own token passes the same check as ours, and a changed one fails it."""
    check(TOKEN, TOKEN_KEY)
    with pytest.raises(InvalidSignature):
        check(TOKEN.replace(".i3CY", ".i4CY"), TOKEN_KEY)
    push_wire.make_key(tmp_path / "key.pem")
    key = push_wire.read_key(tmp_path / "key.pem")
    assert key is not None
    now = 1453523768 - push_wire.TOKEN_S
    header = push_wire.authorization(
        key,
        "https://push.example.net/p/JzLQ3raZJfFBR0aqvOMsLrt54w4rJUsV",
        "mailto:push@example.com",
        now,
    )
    scheme, _, rest = header.partition(" ")
    parts = dict(part.strip().split("=", 1) for part in rest.split(","))
    assert scheme == "vapid"
    assert parts["k"] == push_wire.public_key(key)
    check(parts["t"], parts["k"])
    ours, theirs = parts["t"].split("."), TOKEN.split(".")
    for mine, its in zip(ours[:2], theirs[:2], strict=True):
        assert json.loads(from_text(mine)) == json.loads(from_text(its))


def test_a_token_lasts_less_than_a_day() -> None:
    """RFC 8292 section 2: exp no more than 24 hours from the request."""
    assert 0 < push_wire.TOKEN_S <= 24 * 3600


def test_the_key_is_for_its_owner_only_and_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "key.pem"
    assert push_wire.read_key(path) is None
    push_wire.make_key(path)
    assert path.stat().st_mode & 0o777 == 0o600
    with pytest.raises(FileExistsError):
        push_wire.make_key(path)
    path.write_text("no key")
    with pytest.raises(ValueError, match="no key"):
        push_wire.read_key(path)


@pytest.mark.parametrize(
    "endpoint",
    [
        "http://push.example.net/x",
        "https://localhost/x",
        "https://127.0.0.1/x",
        "https://127.1/x",
        "https://0x7f000001/x",
        "https://2130706433/x",
        "https://0177.0.0.1/x",
        "https://[::1]/x",
        "https://[::ffff:10.0.0.1]/x",
        "https://router/x",
        "https://push.example.net:8443/x",
        "https://push.example.net./x",
        "https://user@push.example.net/x",
        "https://push.example.net:x/",
        "ftp://push.example.net/x",
        "//push.example.net/x",
        "",
        "https://push.example.net/\r\nHost: inside",
        "https://push.example.net/é",
        "https://push.example.net/" + "x" * 1100,
    ],
)
def test_an_endpoint_that_may_lead_inside_is_refused(endpoint: str) -> None:
    assert push_wire.endpoint_fault(endpoint, local=False)


@pytest.mark.parametrize(
    "endpoint",
    [
        "https://push.example.net/p/JzLQ3raZ",
        "https://a.b.example:443/?x=1",
        "https://web.push.x1.example/",
    ],
)
def test_an_endpoint_of_a_push_service_is_taken(endpoint: str) -> None:
    assert push_wire.endpoint_fault(endpoint, local=False) is None


@pytest.mark.parametrize(
    ("number", "is_open"),
    [  # IANA special-purpose address registries (RFC 6890); NAT64 RFC 6052, 6to4 RFC 3056
        ("127.0.0.1", False),
        ("10.1.2.3", False),
        ("172.16.0.1", False),
        ("192.168.1.1", False),
        ("169.254.169.254", False),
        ("100.64.0.1", False),
        ("0.0.0.0", False),
        ("224.0.0.1", False),
        ("255.255.255.255", False),
        ("::1", False),
        ("fe80::1%eth0", False),
        ("fd00::1", False),
        ("::ffff:127.0.0.1", False),
        ("64:ff9b::7f00:1", False),
        ("64:ff9b::a00:1", False),
        ("2002:7f00:1::", False),
        ("ff02::1", False),
        ("8.8.8.8", True),
        ("::ffff:8.8.8.8", True),
        ("64:ff9b::808:808", True),
        ("2606:4700:4700::1111", True),
    ],
)
def test_which_addresses_belong_to_the_open_internet(number: str, is_open: bool) -> None:
    assert push_wire.is_open(number) is is_open


def test_a_name_that_points_inside_is_not_called(
    service: PushService, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A public name with a private address, and one that has both: neither is connected to."""
    port = int(service.url.rpartition(":")[2])
    inside = (socket.AF_INET, socket.SOCK_STREAM, 6, "", ("127.0.0.1", port))
    outside = (socket.AF_INET, socket.SOCK_STREAM, 6, "", ("8.8.8.8", port))
    called: list[object] = []
    monkeypatch.setattr(socket, "create_connection", lambda *a, **_: called.append(a))
    for found in ([inside], [outside, inside], []):
        monkeypatch.setattr(socket, "getaddrinfo", lambda *_, f=found, **__: f)
        answer = push_wire.send("https://push.example.net/x", b"", {}, local=False)
        assert answer.status == 0
    assert called == []
    assert service.asked == []


def test_the_checked_address_is_the_one_that_is_called(monkeypatch: pytest.MonkeyPatch) -> None:
    """A name is looked up once: a second answer cannot lead elsewhere (DNS rebinding)."""
    looked: list[object] = []
    called: list[object] = []

    def look(*asked: object, **_: object) -> list[object]:
        looked.append(asked)
        number = "8.8.8.8" if len(looked) == 1 else "127.0.0.1"
        return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (number, 443))]

    def connect(where: tuple[str, int], *_: object) -> None:
        called.append(where)
        raise OSError

    monkeypatch.setattr(socket, "getaddrinfo", look)
    monkeypatch.setattr(socket, "create_connection", connect)
    assert push_wire.send("https://push.example.net/x", b"", {}, local=False).status == 0
    assert (len(looked), called) == (1, [("8.8.8.8", 443)])


def test_answers_as_they_come(service: PushService) -> None:
    service.answers |= {
        "/gone": (410, {}),
        "/busy": (429, {"Retry-After": "120"}),
        "/away": (301, {"Location": f"{service.url}/elsewhere"}),
    }
    service.raw["/garbage"] = b"\x00\xff not http\r\n\r\n"
    service.raw["/cut"] = b"HTTP/1.1 2"

    def ask(path: str) -> push_wire.Answer:
        return push_wire.send(f"{service.url}{path}", b"body", {"TTL": "60"}, local=True)

    assert ask("/ok") == push_wire.Answer(201)
    assert ask("/gone").status == 410
    assert ask("/busy") == push_wire.Answer(429, 120.0)
    assert ask("/away").status == 301
    assert "/elsewhere" not in service.asked
    assert ask("/garbage").status == 0
    assert ask("/cut").status == 0


def test_neither_silence_nor_dripping_holds_a_call(service: PushService) -> None:
    service.hang.add("/silent")
    service.drip.add("/drip")
    for path in ("/silent", "/drip"):
        begun = time.monotonic()
        answer = push_wire.send(f"{service.url}{path}", b"x", {}, local=True, call_s=0.4)
        assert answer.status == 0
        assert time.monotonic() - begun < HELD_S / 2


def test_this_machine_is_refused_without_the_tests_setting(service: PushService) -> None:
    assert push_wire.send(f"{service.url}/x", b"", {}, local=False).status == 0
    assert service.asked == []


def test_keys_of_a_subscription() -> None:
    assert push_wire.keys_fault(P256DH, AUTH) is None
    browser = Browser(PushService("http://127.0.0.1:1"), "x")
    assert push_wire.keys_fault(*browser.subscription[1:]) is None
    for p256dh, auth in (
        (P256DH[:-4] + "AAAA", AUTH),  # beside the curve
        (P256DH[:40], AUTH),
        ("ä" * 87, AUTH),
        (P256DH, AUTH[:-4]),
        (P256DH, "!" * 22),
        ("", ""),
    ):
        assert push_wire.keys_fault(p256dh, auth)


def test_when_to_come_back() -> None:
    """RFC 9110, 10.2.3: seconds or a date; its example dates."""
    now = 946684799.0  # Fri, 31 Dec 1999 23:59:59 GMT
    assert push_wire.retry_after_s("120", now) == 120
    assert push_wire.retry_after_s("Sat, 01 Jan 2000 00:00:59 GMT", now) == 60
    assert push_wire.retry_after_s("Fri, 31 Dec 1999 23:59:59 GMT", now + 60) == 0
    for nothing in (None, "soon", "-5", "9" * 40):
        assert push_wire.retry_after_s(nothing, now) is None
