// Small helpers for the page's elements.

/** The element that the page must have; anything else is a fault of ours. */
export function need<T extends Element>(selector: string, type: abstract new () => T, within: ParentNode = document): T {
  const found = within.querySelector(selector);
  if (!(found instanceof type)) throw new Error(`the page has no ${selector}`);
  return found;
}

type Attributes = Record<string, string | number | boolean | null | undefined>;

/** A new element. `true` sets an attribute without a value; `false`, null and undefined leave it out. */
export function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children);
  return made;
}

/** Show or hide an element. */
export function show(element: HTMLElement, shown = true): void {
  element.hidden = !shown;
}

/** Tell a screen reader what has changed elsewhere on the page. */
export function announce(message: string): void {
  need("#announcements", HTMLElement).textContent = message;
}

/** Whether the person asked for less motion. */
export function wantsStillness(): boolean {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}
