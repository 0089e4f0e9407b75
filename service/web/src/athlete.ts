// The athlete's pages.
export {};
