// The page's colours, for what is drawn on a canvas: the names of styles/parts/palette.css.

/** A colour as it is now, in light or dark. */
export function colour(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
}

/** Draw again when light turns to dark or back. */
export function onNewColours(draw: () => void): void {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
}
