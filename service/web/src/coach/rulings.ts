// Rulings as they are sent, and remembered for taking back the last one, also after going on to the next set.

import { ask, askJson } from "../shared/api";

export type Word = "met" | "missed" | "not a rep" | "missing rep" | "film again";

interface Given {
  /** One, or those of a whole group. */
  rulings: string[];
  set: string;
  effort: number;
}

const KEPT = "rulings";
const MOST = 50;

/** Rule on reps of a clip, all alike. */
export async function ruleOn(clip: string, set: string, efforts: number[], ruling: Word): Promise<void> {
  const rulings: string[] = [];
  for (const effort of efforts) rulings.push(await give(clip, { ruling, effort }));
  const [first] = efforts;
  if (first !== undefined) remember({ rulings, set, effort: first });
}

/** Note that a rep was not seen by the machine. */
export async function noteMissing(clip: string, set: string, effort: number, [start, end]: [number, number]): Promise<void> {
  remember({ rulings: [await give(clip, { ruling: "missing rep", start, end })], set, effort });
}

/** Take back what was last ruled; tells where it was, or null where there is nothing. */
export async function takeBack(): Promise<{ set: string; effort: number } | null> {
  const given = remembered();
  const last = given.pop();
  if (!last) return null;
  for (const ruling of last.rulings) await ask(`/rulings/${ruling}`, { method: "DELETE" });
  sessionStorage.setItem(KEPT, JSON.stringify(given));
  return last;
}

async function give(clip: string, body: Record<string, unknown>): Promise<string> {
  const given = await askJson<{ id: string }>(`/clips/${clip}/rulings`, { method: "POST", body, once: crypto.randomUUID() });
  return given.id;
}

function remember(given: Given): void {
  sessionStorage.setItem(KEPT, JSON.stringify([...remembered(), given].slice(-MOST)));
}

function remembered(): Given[] {
  return JSON.parse(sessionStorage.getItem(KEPT) ?? "[]") as Given[];
}
