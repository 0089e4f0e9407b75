// Lets the athlete's pages open where there is no network: they are fetched first, and come from the phone where that fails.
//
// Kept are the built files, under names that change with their content, and the pages for today and for filming; nothing that the API
// answers, and no page of anybody else. The pages go when somebody signs in or out, and when the service lets the phone in no more.

import { PAGES, type Wish } from "./shared/kept";

/** The build's files that these pages need, and what tells one build from another. */
declare const BUILD: { name: string; files: string[] };
declare const self: ServiceWorkerGlobalScope;

const FILES = `plumbrep-files-${BUILD.name}`;
const OFFLINE = "/offline";
const HOME = "/me";
const KEPT = [HOME, "/me/film"];
const LEADS_OUT = ["/sign-in", "/sign-out"];
/** Milliseconds after which a page that is kept is shown before the network has answered. */
const PATIENCE = 4000;

self.addEventListener("install", (event) => {
  const take = async (): Promise<void> => {
    await (await caches.open(FILES)).addAll([OFFLINE, ...BUILD.files]);
    await self.skipWaiting();
  };
  event.waitUntil(take());
});

self.addEventListener("activate", (event) => {
  const renew = async (): Promise<void> => {
    for (const name of await caches.keys()) if (name !== FILES && name !== PAGES) await caches.delete(name);
    const pages = await caches.open(PAGES);
    const kept = await pages.keys(); // they name files of the build before
    await Promise.all(kept.map(({ url }) => keep(url).catch(() => pages.delete(url))));
  };
  event.waitUntil(renew());
});

self.addEventListener("message", (event: ExtendableMessageEvent) => event.waitUntil(keepAsWished(event.data as Wish)));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin) return;
  if (request.mode === "navigate") {
    if (request.method !== "GET") event.waitUntil(LEADS_OUT.includes(pathname) ? caches.delete(PAGES) : Promise.resolve());
    else event.respondWith(KEPT.includes(pathname) ? keptPage(event) : otherPage(request));
  } else if (pathname.startsWith("/static/")) event.respondWith(file(request));
});

async function file(request: Request): Promise<Response> {
  return (await caches.match(request, { cacheName: FILES, ignoreVary: true })) ?? fetch(request);
}

async function otherPage(request: Request): Promise<Response> {
  return fetch(request).catch(async () => (await caches.match(OFFLINE, { cacheName: FILES })) ?? Response.error());
}

async function keptPage(event: FetchEvent): Promise<Response> {
  const { request } = event;
  const came = fetch(request).then(async (page) => {
    await put(request.url, page.clone());
    return page;
  });
  event.waitUntil(came.catch(() => undefined));
  const kept = await caches.match(request.url, { cacheName: PAGES, ignoreVary: true });
  if (!kept) return came.catch(() => otherPage(request));
  const tooLong = new Promise<Response>((resolve) => setTimeout(() => resolve(kept), PATIENCE));
  return Promise.race([came.catch(() => kept), tooLong]);
}

/** Keep what the service answers for a page; an answer that leads elsewhere means that this phone is let in no more. */
async function put(address: string, page: Response): Promise<void> {
  if (page.type === "opaqueredirect") await caches.delete(PAGES);
  else if (page.ok) await (await caches.open(PAGES)).put(address, page);
}

async function keep(address: string): Promise<void> {
  await put(address, await fetch(address, { redirect: "manual" }));
}

async function keepAsWished({ addresses, only }: Wish): Promise<void> {
  const pages = await caches.open(PAGES);
  for (const { url } of only ? await pages.keys() : []) {
    if (new URL(url).pathname !== HOME && !addresses.includes(url)) await pages.delete(url);
  }
  await Promise.allSettled(addresses.map(keep));
}
