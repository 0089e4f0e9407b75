// The keys of review. They can be turned off (WCAG 2.2, 2.1.4), and never act while a person types or works a control.

import { need } from "../shared/dom";
import type { Evidence } from "./evidence";
import type { Word } from "./rulings";

export interface Deeds {
  /** @param all also for all that wait with the same fault */
  rule(word: Word, all: boolean): void;
  sameForGroup(): void;
  undo(): void;
  go(steps: number): void;
  note(): void;
  evidence(): Evidence | null;
}

const WORDS: Record<string, Word> = { m: "met", x: "missed", n: "not a rep", r: "missing rep", f: "film again" };
const KEPT = "one-key rulings";

/** Do what keys ask for. */
export function listen(deeds: Deeds): void {
  const on = need("#keys-on", HTMLInputElement);
  on.checked = localStorage.getItem(KEPT) !== "off";
  on.addEventListener("change", () => localStorage.setItem(KEPT, on.checked ? "on" : "off"));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && event.target instanceof HTMLTextAreaElement) return event.target.blur();
    if (!on.checked || event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    if (isTaken(event)) return;
    if (act(event, deeds)) event.preventDefault();
  });
}

/** Whether the key belongs to what has the focus. */
function isTaken({ target, key }: KeyboardEvent): boolean {
  if (target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement) return true;
  if (target instanceof HTMLInputElement) return target.type !== "checkbox" || key === " ";
  return key === " " && target instanceof HTMLElement && target.matches("button, a, [role=slider]");
}

function act(event: KeyboardEvent, deeds: Deeds): boolean {
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const word = WORDS[key];
  if (word) {
    if (!event.repeat) deeds.rule(word, event.shiftKey);
    return true;
  }
  const evidence = deeds.evidence();
  const press = (selector: string) => document.querySelector<HTMLInputElement>(selector)?.click();
  const others: Record<string, (() => void) | undefined> = {
    g: () => deeds.sameForGroup(),
    u: () => deeds.undo(),
    j: () => deeds.go(1),
    k: () => deeds.go(-1),
    t: () => deeds.note(),
    l: () => press("#loop"),
    z: () => press("#whole"),
    " ": evidence ? () => evidence.player.toggle() : undefined,
    ArrowLeft: evidence ? () => evidence.player.step(-1) : undefined,
    ArrowRight: evidence ? () => evidence.player.step(1) : undefined,
    "-": evidence ? () => evidence.player.faster(-1) : undefined,
    "+": evidence ? () => evidence.player.faster(1) : undefined,
  };
  const deed = others[key];
  deed?.();
  return deed !== undefined;
}
