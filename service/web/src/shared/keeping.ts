// Keeps pages on the phone for when there is no network. Browsers do so only over TLS, and on the machine itself.

import { PAGES, type Wish } from "./kept";

/** Keep this page, and all that lead from it to the camera. */
export async function keepPages(leading: Iterable<HTMLAnchorElement>): Promise<void> {
  const places = navigator.serviceWorker;
  if (!places) return;
  const others = [...new Set([...leading].map((link) => link.href))];
  const here = places.controller && others.length ? [] : [location.href]; // what it loaded itself, it has kept
  const wish: Wish = { addresses: [...here, ...others], only: others.length > 0 };
  await places.register("/sw.js");
  (await places.ready).active?.postMessage(wish);
}

/** Forget all of them, for somebody else comes in. */
export async function forgetPages(): Promise<void> {
  await globalThis.caches?.delete(PAGES);
}
