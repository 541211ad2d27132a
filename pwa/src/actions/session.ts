/** Joining, signing in and out. These need the network; what was recorded does not. */

import { type Answer, ask, isNoAnswer } from "../api/client";
import type { Me } from "../domain/planter";
import { ring } from "../store/bell";
import { forgetTown } from "../store/planters";
import { deviceId, readSettings, writeSettings } from "../store/settings";
import { forgetPush } from "./push";

async function welcome(answer: Answer<Me>): Promise<Answer<Me>> {
  if (answer.problem) return answer;
  const before = (await readSettings()).me;
  // Another person's view of the town goes; their unsent records stay for them (R26).
  if (before?.person.id !== answer.value.person.id) await forgetTown();
  await writeSettings({ me: answer.value, paused: null, silent_until: 0, sign_out_due: false });
  ring("joined");
  return answer;
}

/** Joins by the secret of an invite link. */
export async function join(secret: string, name: string): Promise<Answer<Me>> {
  const device = await deviceId();
  return welcome(await ask<Me>("/join", { method: "POST", json: { secret, name, device } }));
}

/** Signs a coordinator in. */
export async function signIn(name: string, password: string): Promise<Answer<Me>> {
  const device = await deviceId();
  return welcome(await ask<Me>("/sign-in", { method: "POST", json: { name, password, device } }));
}

/** Looks whether the server still knows this phone the same way; without an answer nothing changes. */
export async function refreshMe(): Promise<void> {
  const { me, sign_out_due } = await readSettings();
  if (sign_out_due) {
    await endSession();
    return;
  }
  if (!me) return;
  const answer = await ask<Me>("/me");
  if (answer.problem) return;
  if (JSON.stringify(answer.value) !== JSON.stringify(me)) await welcome(answer);
}

async function endSession(): Promise<void> {
  const answer = await ask<void>("/sign-out", { method: "POST", json: {} });
  await writeSettings({ sign_out_due: Boolean(answer.problem && isNoAnswer(answer.problem)) });
}

/**
 * Signs out on this phone: the town's data goes, unsent records stay locked for the same person.
 * Without signal the session is ended as soon as there is some.
 */
export async function signOut(): Promise<void> {
  await forgetPush();
  await writeSettings({ me: null, paused: null, sign_out_due: true });
  await forgetTown();
  await endSession();
}
