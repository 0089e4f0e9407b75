// The athlete's pages. Each loads what it needs beside this.

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
  }
}
