/** Records, tag codes, times and waiting, against published examples where there are some. */

import { describe, expect, test } from "vitest";
import { retryAfterSeconds } from "../src/api/client";
import { newCheckIn, newWithdrawal, type Pen, uuidv7, wallTime } from "../src/domain/records";
import { checkCharacter, codeFromAddress, display, fold, isValid } from "../src/domain/tag-code";
import { ago, clockOffset, localDay } from "../src/domain/time";
import { silenceFor, waitAfter } from "../src/sync/backoff";

const pen: Pen = {
  device: "11111111-1111-4111-8111-111111111111",
  n: 12,
  now: new Date("2026-10-20T08:42:10.123Z"),
  offset_min: 120,
  random: (bytes) => bytes.fill(7),
};

describe("records", () => {
  test("uuidv7 gives the example of RFC 9562, appendix A.6", () => {
    // Random bytes chosen so that the fields are those of the example, rand_a CC3, rand_b 18C4DC0C0C07398F.
    const random = (bytes: Uint8Array<ArrayBuffer>) => {
      bytes.set([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f], 6);
      return bytes;
    };
    const id = uuidv7(new Date("2022-02-22T19:22:22Z"), random);
    expect(id).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  });

  test("wall time carries the phone's own offset, east, west and by half hours", () => {
    expect(wallTime(pen.now, 120)).toBe("2026-10-20T10:42:10.123+02:00");
    expect(wallTime(pen.now, -210)).toBe("2026-10-20T05:12:10.123-03:30");
    expect(wallTime(pen.now, 0)).toBe("2026-10-20T08:42:10.123+00:00");
  });

  test("what was not said is not in the text", () => {
    const { text } = newCheckIn(pen, "p-1", { level: 0, signs: [], note: "", plants: null });
    expect(JSON.parse(text).body).toEqual({ level: 0 });
  });

  test("keys stand in the order of the protocol", () => {
    const { text } = newWithdrawal(pen, "p-1", { replaces: "x", reason: "twice" });
    expect(Object.keys(JSON.parse(text))).toEqual([
      ...["v", "id", "kind", "planter", "device", "n", "wall", "body"],
    ]);
  });
});

describe("tag codes", () => {
  test("the check character is the one of the GRid standard's example (ISO 7064 MOD 37-36)", () => {
    // Global Release Identifier A1-2425G-ABC1234002-M
    expect(checkCharacter("A12425GABC1234002")).toBe("M");
  });

  const code = (body: string) => body + checkCharacter(body);
  const good = code("7K4M9X2WPD");

  test("typed like it looks: hyphens, spaces, small letters, I and L for 1, O for 0", () => {
    expect(fold(" abc-iLo 9 ")).toBe("ABC1109");
    expect(isValid(good.toLowerCase())).toBe(true);
    expect(isValid(display(good))).toBe(true);
    expect(display(good)).toBe(`7K4M-9X2W-PD${good.slice(-1)}`);
  });

  test("every single wrong character and every swap of neighbours is noticed", () => {
    const alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
    for (let at = 0; at < 10; at += 1) {
      for (const other of alphabet) {
        const typed = good.slice(0, at) + other + good.slice(at + 1);
        expect(isValid(typed)).toBe(typed === good);
      }
      const swapped = good.slice(0, at) + good[at + 1] + good[at] + good.slice(at + 2);
      expect(isValid(swapped)).toBe(swapped === good);
    }
  });

  test("only our own addresses open a planter (T6)", () => {
    const own = ["https://pots.example", "https://TAGS.EXAMPLE"];
    expect(codeFromAddress(`HTTPS://TAGS.EXAMPLE/T/${good}`, own)).toBe(good);
    expect(codeFromAddress(`https://pots.example/t/${display(good)}`, own)).toBe(good);
    for (const foreign of [
      `https://pots.example.evil.test/t/${good}`,
      `https://evil.test/t/${good}`,
      `https://evil.test/?u=https://pots.example/t/${good}`,
      `http://pots.example/t/${good}`,
      `https://pots.example:8443/t/${good}`,
      `https://pots.example@evil.test/t/${good}`,
      `https://pots.example/join#secret`,
      `https://pots.example/t/${good}/more`,
      `javascript:alert(1)//pots.example/t/${good}`,
      "WIFI:S:free;;",
      good,
      "",
    ]) {
      expect(codeFromAddress(foreign, own)).toBeNull();
    }
  });
});

describe("times", () => {
  test("days are the town's, not Greenwich's", () => {
    expect(localDay("2026-10-20T04:30:00Z", "America/Denver")).toBe("2026-10-19");
    expect(localDay("2026-10-20T22:30:00Z", "Europe/Berlin")).toBe("2026-10-21");
  });

  test("yesterday is yesterday after a few hours, and today lasts all day", () => {
    const now = new Date("2026-10-20T07:00:00Z");
    expect(ago("2026-10-19T21:00:00Z", now, "Europe/Berlin")).toEqual({ unit: "day", count: 1 });
    expect(ago("2026-10-19T22:30:00Z", now, "Europe/Berlin")).toEqual({ unit: "hour", count: 8 });
    expect(ago("2026-10-20T06:59:40Z", now, "Europe/Berlin")).toEqual({ unit: "now", count: 0 });
    expect(ago("2026-10-20T06:48:00Z", now, "Europe/Berlin")).toEqual({
      unit: "minute",
      count: 12,
    });
  });

  test("the clock's difference takes half the time of the exchange", () => {
    expect(clockOffset("1970-01-01T00:00:10Z", 1_000, 3_000)).toBe(8_000);
    expect(clockOffset("no time", 0, 0)).toBeNull();
  });
});

describe("waiting (R10)", () => {
  test("2 s, doubled, up to 15 minutes, and no last attempt", () => {
    const caps = [1, 2, 3, 9, 10, 11, 1000].map((failures) => waitAfter(failures, () => 1) / 1000);
    expect(caps).toEqual([2, 4, 8, 512, 900, 900, 900]);
    expect(waitAfter(5, () => 0)).toBe(0);
  });

  test("a Retry-After is kept to, with a little more for chance, and an hour at most", () => {
    expect(silenceFor(120, () => 0)).toBe(120_000);
    expect(silenceFor(120, () => 1)).toBe(133_000);
    expect(silenceFor(999_999, () => 0)).toBe(3_600_000);
  });

  test("Retry-After is read as seconds and as a date (RFC 9110)", () => {
    const at = Date.parse("1994-11-06T08:49:27Z");
    expect(retryAfterSeconds("120", at)).toBe(120);
    expect(retryAfterSeconds("Sun, 06 Nov 1994 08:49:37 GMT", at)).toBe(10);
    expect(retryAfterSeconds("Sun, 06 Nov 1994 08:00:00 GMT", at)).toBe(0);
    expect(retryAfterSeconds("soon", at)).toBeNull();
    expect(retryAfterSeconds(null, at)).toBeNull();
  });
});
