"""Many writers at once, and writers that are killed: nothing acknowledged is lost (F9, F13)."""

from __future__ import annotations

import json
import random
import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from desk import Desk, Phone, record_id
from potrounds.services import assess
from potrounds.services.refusal import Refusal
from potrounds.store import database, log

WRITER = Path(__file__).with_name("writer.py")
THREADS, BATCHES = 8, 50


def integrity(home: Path) -> str:
    """SQLite's own word on the file."""
    connection = sqlite3.connect(home / "town.sqlite")
    try:
        return str(connection.execute("pragma integrity_check").fetchone()[0])
    finally:
        connection.close()


def test_F13_eight_threads_write_fifty_batches_each(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Assessed afterwards, as one thread would: here it is the writing that is in question."""
    phones = [desk.join(f"Volunteer {number}") for number in range(THREADS)]
    planters = [desk.add_planter(f"Row {number}") for number in range(THREADS)]
    start = threading.Barrier(THREADS)
    monkeypatch.setattr(assess, "assess_quietly", lambda ctx, keys: None)
    answers: list[tuple[str, int]] = []
    trouble: list[BaseException] = []

    def write(phone: Phone, planter: str) -> None:
        try:
            start.wait()
            with database.connection():
                for _ in range(BATCHES):
                    texts = [phone.record(planter=planter) for _ in range(2)]
                    for text, result in zip(texts, phone.push(*texts), strict=True):
                        assert result["outcome"] == "stored"
                        answers.append((record_id(text), result["seq"]))
        except BaseException as caught:
            trouble.append(caught)

    threads = [
        threading.Thread(target=write, args=pair) for pair in zip(phones, planters, strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert trouble == [], "0 times 'database is locked'"
    assert len(answers) == THREADS * BATCHES * 2
    assert len({seq for _, seq in answers}) == len(answers), "no number twice"
    monkeypatch.undo()
    assert assess.assess_stale(desk.ctx) == THREADS
    for planter in planters:
        assert len(log.of_planter(planter)) == BATCHES * 2
        assert len(desk.card(planter)["visits"]) == 8
    assert integrity(desk.ctx.settings.home) == "ok"


def test_F2_the_same_batch_on_two_connections_is_stored_once(desk: Desk) -> None:
    vera = desk.join("Vera")
    texts = [vera.record() for _ in range(20)]
    start = threading.Barrier(2)
    outcomes: list[list[str]] = []

    def send() -> None:
        with database.connection():
            start.wait()
            outcomes.append([result["outcome"] for result in vera.push(*texts)])

    threads = [threading.Thread(target=send) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == [["duplicate"] * 20, ["stored"] * 20]
    assert len(log.of_planter(desk.planter)) == 20


def tell_writers(desk: Desk, count: int) -> None:
    """Write down whose phones the child processes play."""
    phones = [desk.join(f"Volunteer {number}") for number in range(count)]
    told = {
        "planter": desk.planter,
        "planters": [desk.add_planter(f"Row {number}") for number in range(count)],
        "phones": [(phone.person, phone.device) for phone in phones],
    }
    (desk.ctx.settings.home / "phones.json").write_text(json.dumps(told))


def a_writer(home: Path, index: int, batches: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, str(WRITER), str(home), str(index), str(batches)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_F13_three_processes_write_together(desk: Desk) -> None:
    tell_writers(desk, 3)
    home = desk.ctx.settings.home
    writers = [a_writer(home, index, 15) for index in range(3)]
    acknowledged: set[str] = set()
    for writer in writers:
        out, errors = writer.communicate(timeout=120)
        assert (writer.returncode, errors) == (0, "")
        acknowledged |= {one for line in out.splitlines() for one in json.loads(line)}
    assert len(acknowledged) == 3 * 15 * 5
    assert set(log.find_many(acknowledged)) == acknowledged
    assert integrity(home) == "ok"


def test_F9_a_killed_writer_loses_nothing_it_acknowledged(desk: Desk) -> None:
    """SIGKILL at a random moment, eight times over one database; batches stay whole."""
    tell_writers(desk, 1)
    home = desk.ctx.settings.home
    luck = random.Random(20260504)
    acknowledged: list[list[str]] = []
    for _ in range(8):
        writer = a_writer(home, 0, 10_000)
        assert writer.stdout is not None
        for _ in range(luck.randint(1, 6)):
            acknowledged.append(json.loads(writer.stdout.readline()))
        killer = threading.Timer(luck.uniform(0, 0.08), writer.kill)
        killer.start()
        rest, _ = writer.communicate(timeout=60)
        killer.join()
        assert writer.returncode == -9
        # A line that was cut off by the kill was never an answer.
        acknowledged += [json.loads(line) for line in rest.splitlines() if line.endswith("]")]
    wanted = {one for batch in acknowledged for one in batch}
    stored = log.find_many(wanted)
    assert set(stored) == wanted
    assert integrity(home) == "ok"
    everything = log.of_planter(next(iter(stored.values())).planter)
    numbers = sorted(row.seq for row in everything)
    assert len(numbers) % 5 == 0, "a batch is there whole or not at all"
    for start in range(0, len(numbers), 5):
        assert numbers[start : start + 5] == list(range(numbers[start], numbers[start] + 5))
    assert desk.join("Vera").push(everything[0].text)[0]["outcome"] == "held", "still writable"


def test_F11_a_full_disk_refuses_the_batch_and_keeps_what_was_there(desk: Desk) -> None:
    """`max_page_count` makes SQLite say that the disk is full."""
    vera = desk.join("Vera")
    before = vera.record()
    vera.push(before)
    pages = database.db.execute_sql("pragma page_count").fetchone()[0]
    large = [vera.record(body={"note": "n" * 2000}) for _ in range(50)]
    database.db.execute_sql(f"pragma max_page_count = {pages + 1}")
    with pytest.raises(Refusal) as refused:
        vera.push(*large)
    assert refused.value.status == 503
    assert refused.value.retry_after
    assert [row.text for row in log.of_planter(desk.planter)] == [before]
    database.db.execute_sql("pragma max_page_count = 1000000")
    assert {result["outcome"] for result in vera.push(*large)} == {"stored"}
    assert integrity(desk.ctx.settings.home) == "ok"
