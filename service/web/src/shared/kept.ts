// What page and service worker agree on: see ../sw.ts.

/** The cache of the pages that show somebody's prescriptions. */
export const PAGES = "plumbrep-pages";

/** What a page asks to be kept. */
export interface Wish {
  addresses: string[];
  /** Whether these are all: what was kept before of others goes. */
  only: boolean;
}
