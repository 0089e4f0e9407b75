// Reads NumPy's .npz: a ZIP archive of .npy arrays.
//
// Sources: APPNOTE.TXT 6.3.10 (ZIP; sizes are read from the central directory, as NumPy leaves them out of the local headers)
// and NEP 1, A Simple File Format for NumPy Arrays.

export interface NpyArray {
  shape: number[];
  values: Float64Array;
  /** What an array of texts holds; empty for numbers. */
  texts: string[];
}

const END_OF_DIRECTORY = 0x06054b50;
const DIRECTORY_ENTRY = 0x02014b50;
const DEFLATED = 8;

/** All arrays of an archive by their names, without `.npy`. Throws an Error where it is no such archive. */
export async function readNpz(file: ArrayBuffer): Promise<Map<string, NpyArray>> {
  const entries = [...directory(new DataView(file))];
  const arrays = await Promise.all(
    entries.map(async ({ name, at, size, method }): Promise<[string, NpyArray]> => {
      const packed = new Uint8Array(file, at, size);
      const content = method === DEFLATED ? await inflate(packed) : packed.slice().buffer;
      return [name.replace(/\.npy$/, ""), readNpy(content)];
    }),
  );
  return new Map(arrays);
}

interface Entry {
  name: string;
  at: number;
  size: number;
  method: number;
}

function* directory(view: DataView): Generator<Entry> {
  let end = view.byteLength - 22;
  while (end >= 0 && view.getUint32(end, true) !== END_OF_DIRECTORY) end--;
  if (end < 0) throw new Error("not a ZIP archive");
  let at = view.getUint32(end + 16, true);
  for (let left = view.getUint16(end + 10, true); left > 0; left--) {
    if (view.getUint32(at, true) !== DIRECTORY_ENTRY) throw new Error("the ZIP archive is damaged");
    const [nameLength, extra, comment] = [28, 30, 32].map((offset) => view.getUint16(at + offset, true)) as [number, number, number];
    const local = view.getUint32(at + 42, true);
    yield {
      name: new TextDecoder().decode(new Uint8Array(view.buffer, at + 46, nameLength)),
      method: view.getUint16(at + 10, true),
      size: view.getUint32(at + 20, true),
      at: local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true),
    };
    at += 46 + nameLength + extra + comment;
  }
}

async function inflate(packed: Uint8Array<ArrayBuffer>): Promise<ArrayBuffer> {
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Response(stream).arrayBuffer();
}

function readNpy(content: ArrayBuffer): NpyArray {
  const view = new DataView(content);
  const wide = view.getUint8(6) >= 2;
  const length = wide ? view.getUint32(8, true) : view.getUint16(8, true);
  const begin = (wide ? 12 : 10) + length;
  const header = new TextDecoder("latin1").decode(new Uint8Array(content, begin - length, length));
  const type = /'descr':\s*'([^']+)'/.exec(header)?.[1] ?? "";
  const shape = (/'shape':\s*\(([^)]*)\)/.exec(header)?.[1] ?? "").split(",").filter((part) => part.trim()).map(Number);
  if (/'fortran_order':\s*True/.test(header)) throw new Error("an array in the other order");
  const size = shape.reduce((product, each) => product * each, 1);
  if (type.startsWith("<U")) return { shape, values: new Float64Array(), texts: texts(view, begin, size, Number(type.slice(2))) };
  return { shape, values: Float64Array.from({ length: size }, (_, i) => number(view, begin, i, type)), texts: [] };
}

function number(view: DataView, begin: number, i: number, type: string): number {
  switch (type) {
    case "<f8":
      return view.getFloat64(begin + 8 * i, true);
    case "<f4":
      return view.getFloat32(begin + 4 * i, true);
    case "<i8":
      return Number(view.getBigInt64(begin + 8 * i, true));
    case "|b1":
      return view.getUint8(begin + i);
    default:
      throw new Error(`an array of ${type}`);
  }
}

/** Texts of a fixed length in UTF-32, filled up with zeros. */
function texts(view: DataView, begin: number, count: number, length: number): string[] {
  return Array.from({ length: count }, (_, i) =>
    Array.from({ length }, (_, j) => view.getUint32(begin + 4 * (i * length + j), true))
      .filter((code) => code > 0)
      .map((code) => String.fromCodePoint(code))
      .join(""),
  );
}
