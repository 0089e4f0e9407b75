// Bundles the pages' scripts and styles into dist/, under names that change with their content.
//
// Every file directly in src/ and styles/ is an entry. The service worker is built last, for it is told which files the athlete's
// pages need. dist/manifest.json tells under which name each is found and what it imports; dist/licences.txt carries the licences of
// the packages that went into the bundles. dist/ appears when all of it is made.
import { createHash } from "node:crypto";
import { mkdir, readFile, readdir, rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { brotliCompress, constants } from "node:zlib";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, "dist");
const making = join(here, "dist.part");
const WORKER = "src/sw.ts";
/** What is kept on an athlete's phone, with all that it imports. */
const KEPT = ["src/athlete.ts", "styles/athlete.css", "styles/page.css", "src/icon.svg"];
const COMPRESSED = /\.(js|css|svg|txt)$/;

async function main() {
  await rm(making, { recursive: true, force: true });
  await mkdir(making);
  const pages = await bundle((await entries()).filter((entry) => entry !== WORKER));
  const worker = await bundle([WORKER], { define: { BUILD: JSON.stringify(needed(pages)) } });
  const outputs = { ...pages, ...worker };
  await writeFile(join(making, "licences.txt"), await licences(packagesOf(outputs)));
  for (const name of await readdir(making)) {
    if (COMPRESSED.test(name)) await compress(join(making, name));
  }
  await writeFile(join(making, "manifest.json"), JSON.stringify(manifest(outputs), null, 2));
  await rm(dist, { recursive: true, force: true });
  await rename(making, dist);
}

async function entries() {
  return [...(await filesIn("src")), ...(await filesIn("styles"))];
}

async function bundle(entryPoints, more = {}) {
  const made = await build({
    ...more,
    absWorkingDir: here,
    entryPoints,
    outdir: making,
    bundle: true,
    splitting: true,
    minify: true,
    format: "esm",
    target: ["chrome114", "firefox121", "safari16.4"],
    entryNames: "[name]-[hash]",
    chunkNames: "[name]-[hash]",
    assetNames: "[name]-[hash]",
    loader: { ".svg": "copy" },
    legalComments: "none", // dist/licences.txt has them whole
    metafile: true,
    logLevel: "warning",
  });
  return made.metafile.outputs;
}

/** Where the athlete's files are found, and a name for this build of them. */
function needed(outputs) {
  const made = Object.fromEntries(Object.entries(outputs).map(([path, output]) => [output.entryPoint, path]));
  const found = new Set();
  const add = (path) => {
    if (found.has(path)) return;
    found.add(path);
    outputs[path].imports.forEach((each) => add(each.path));
  };
  KEPT.forEach((source) => add(made[source]));
  const files = [...found].map((path) => `/static/${basename(path)}`).sort();
  return { name: createHash("sha256").update(files.join()).digest("hex").slice(0, 12), files };
}

async function filesIn(folder) {
  const found = await readdir(join(here, folder), { withFileTypes: true });
  return found.filter((entry) => entry.isFile()).map((entry) => join(folder, entry.name)).sort();
}

/** `athlete.ts`, or `athlete/film.ts` that it imports when needed -> where it went, and what should be loaded along with it. */
function manifest(outputs) {
  const entries = Object.entries(outputs)
    .filter(([, output]) => output.entryPoint)
    .map(([path, output]) => [
      output.entryPoint.split("/").slice(1).join("/"),
      {
        file: basename(path),
        imports: output.imports.filter((each) => each.kind === "import-statement").map((each) => basename(each.path)),
      },
    ]);
  return Object.fromEntries(entries.sort());
}

function packagesOf(outputs) {
  const inputs = Object.values(outputs).flatMap((output) => Object.keys(output.inputs));
  const names = inputs.map((path) => /node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]).filter(Boolean);
  return [...new Set(names)].sort();
}

async function licences(packages) {
  const texts = await Promise.all(packages.map(licence));
  return texts.join(`\n\n${"-".repeat(72)}\n\n`);
}

async function licence(name) {
  const folder = join(here, "node_modules", name);
  const { version, license, author } = JSON.parse(await readFile(join(folder, "package.json"), "utf8"));
  const file = (await readdir(folder)).find((each) => /^licen[cs]e/i.test(each));
  const by = typeof author === "string" ? author : author?.name ?? "its authors";
  const text = file ? await readFile(join(folder, file), "utf8") : `Licence: ${license}. By ${by}.`;
  return `${name} ${version}\n\n${text.trim()}\n`;
}

async function compress(path) {
  const content = await readFile(path);
  const smaller = await promisify(brotliCompress)(content, {
    params: { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY },
  });
  await writeFile(`${path}.br`, smaller);
}

await main();
