import { describe, expect, it } from "vitest";
import { addressOf, readPush, toText } from "../src/domain/push";

describe("what a push says", () => {
  it("is taken as the server words it", () => {
    const said = {
      title: "Ferry landing 1: Path blocked",
      body: "Move it.",
      path: "/p/x",
      tag: "f",
    };
    expect(readPush(JSON.stringify(said))).toEqual(said);
  });

  it.each([
    null,
    "",
    "no json",
    "null",
    "[]",
    "7",
    '{"title":7,"body":{},"path":["/"],"tag":null}',
  ])("is a plain one where nothing of ours came: %s", (text) => {
    expect(readPush(text)).toEqual({ title: "Potrounds", body: "", path: "/", tag: "potrounds" });
  });

  it.each([
    "https://elsewhere.example/",
    "//elsewhere.example",
    "/\\elsewhere.example",
    "p/x",
    "javascript:0",
  ])("leads nowhere but into the app: %s", (path) => {
    expect(readPush(JSON.stringify({ path })).path).toBe("/");
  });

  it("is cut where it is longer than any of ours", () => {
    const said = readPush(JSON.stringify({ title: "t".repeat(999), body: "b".repeat(9999) }));
    expect([said.title.length, said.body.length]).toEqual([200, 1000]);
  });
});

describe("the address of a subscription", () => {
  it("is told when it is whole", () => {
    const keys = { p256dh: "BA", auth: "cc" };
    expect(addressOf({ endpoint: "https://push.example/x", keys })).toEqual({
      endpoint: "https://push.example/x",
      ...keys,
    });
    expect(addressOf({ endpoint: "https://push.example/x", keys: { p256dh: "BA" } })).toBeNull();
    expect(addressOf({ keys })).toBeNull();
  });

  it("has keys in base64url, RFC 4648 section 5", () => {
    // RFC 4648, section 10, and the two letters that differ from base64
    expect(toText(new TextEncoder().encode("foobar").buffer as ArrayBuffer)).toBe("Zm9vYmFy");
    expect(toText(new TextEncoder().encode("fooba").buffer as ArrayBuffer)).toBe("Zm9vYmE");
    expect(toText(new Uint8Array([0xfb, 0xff]).buffer)).toBe("-_8");
  });
});
