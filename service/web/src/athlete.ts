// The athlete's pages. Each loads what it needs beside this.

import { keepPages } from "./shared/keeping";
import { show } from "./shared/dom";

const pages = {
  today: async () => (await import("./athlete/today")).openToday,
  film: async () => (await import("./athlete/film")).openFilm,
  clip: async () => (await import("./athlete/clip")).openClip,
};

for (const [name, load] of Object.entries(pages)) {
  const page = document.getElementById(name);
  if (page) {
    void load().then((open) => {
      open(page);
      page.dataset["ready"] = "";
    });
    if (name !== "clip") void keepPages(page.querySelectorAll('a[href^="/me/film"]'));
  }
}

const offline = document.getElementById("offline");
if (offline) {
  const tell = (): void => show(offline, !navigator.onLine);
  addEventListener("online", tell);
  addEventListener("offline", tell);
  tell();
}
