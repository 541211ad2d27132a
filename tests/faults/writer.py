"""A process that pushes batches for ever and says which were acknowledged; tests kill it.

Run as: python writer.py FOLDER PHONE-INDEX BATCHES. The folder holds a furnished town and its
phones in phones.json. Each line written is the ids of one acknowledged batch.
"""

from __future__ import annotations

import json
import logging
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from desk import Desk, Phone, record_id
from potrounds.config import Settings
from potrounds.services import people
from potrounds.services.context import Caller, Context
from potrounds.store import database
from speaking import HandClock

BATCH = 5


def main(home: Path, index: int, batches: int) -> None:
    logging.disable(logging.WARNING)
    told = json.loads((home / "phones.json").read_text())
    url = f"sqlite:///{home / 'town.sqlite'}"
    clock = HandClock()
    database.open_database(url)
    ctx = Context(Settings(home=home, database=url), clock, hasher=people.quick_hasher())
    desk = Desk(ctx, clock, planter=told["planter"])
    person, device = told["phones"][index]
    caller = Caller("ph-test0000", person, "Vera", "volunteer", device)
    phone = Phone(desk, ctx.with_caller(caller), device)
    for _ in range(batches):
        texts = [phone.record(planter=told["planters"][index]) for _ in range(BATCH)]
        results = phone.push(*texts)
        if any(result["outcome"] != "stored" for result in results):
            raise SystemExit(f"not stored: {results}")
        print(json.dumps([record_id(text) for text in texts]), flush=True)
    database.shut()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
