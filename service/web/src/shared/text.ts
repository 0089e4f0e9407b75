// The words of the page: the server sends those that its scripts need along with it, so that all English stands in one place.

type Words = { [key: string]: string | Words };

const words: Words = JSON.parse(document.getElementById("words")?.textContent || "{}");
const plural = new Intl.PluralRules(document.documentElement.lang || "en");

/**
 * The text of a key like `film.ready`, with `{name}` filled in. A text with the forms `one` and `other` is chosen by `n`.
 * An unknown key is shown as it is: a page with one odd word is better than none.
 */
export function say(key: string, values: Record<string, string | number> = {}): string {
  let found: string | Words | undefined = words;
  for (const part of key.split(".")) found = typeof found === "object" ? found[part] : undefined;
  if (typeof found === "object" && typeof values["n"] === "number") found = found[plural.select(values["n"])];
  if (typeof found !== "string") {
    console.error(`no text for ${key}`);
    return key;
  }
  return found.replace(/\{(\w+)\}/g, (whole, name: string) => String(values[name] ?? whole));
}
