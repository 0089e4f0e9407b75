// What the server says is to be drawn of one rep or hold: see service/pages/coach/evidence.py.

import { need } from "../shared/dom";

export interface Drawn {
  id: number;
  start: number;
  end: number;
  stretches: { kind: string; name: string; start: number; end: number }[];
  /** Where each stroke begins and ends by the machine, by names like `lowering.start`. */
  boundaries: Record<string, number>;
  /** Those that a coach put elsewhere. */
  moved: Record<string, number>;
  limits: { angle: string; value: number; name: string }[];
}

/** What belongs to the rep that the page shows now. */
export function drawnNow(): Drawn {
  return JSON.parse(need("#effort", HTMLElement).dataset["drawn"] ?? "{}") as Drawn;
}

/** Strokes and pauses with the boundaries where the coach has put them. */
export function stretchesOf({ stretches, boundaries, moved }: Drawn): Drawn["stretches"] {
  const at = { ...boundaries, ...moved };
  const strokes = stretches
    .filter(({ kind }) => `${kind}.start` in at)
    .map((each) => ({ ...each, start: at[`${each.kind}.start`] ?? each.start, end: at[`${each.kind}.end`] ?? each.end }));
  const others = stretches.filter(({ kind }) => !(`${kind}.start` in at));
  return [...strokes, ...others.map((each) => between(each, strokes))].sort((a, b) => a.start - b.start);
}

/** A pause lies between two strokes, wherever those are. */
function between(pause: Drawn["stretches"][number], strokes: Drawn["stretches"]): Drawn["stretches"][number] {
  const [first, second] = [...strokes].sort((a, b) => a.start - b.start);
  return pause.kind === "pause" && first && second ? { ...pause, start: first.end, end: second.start } : pause;
}
