// Clips that the service does not have yet, kept in this browser (IndexedDB) until it does.

export interface Kept {
  id: string;
  /** Whose clip it is: a phone may be lent. */
  person: string;
  what: string;
  /** The prescription; empty where none is meant. */
  plan: string;
  /** When it was filmed, RFC 3339; null: as its file says. */
  filmed: string | null;
  /** A sensor track, see docs/sensor.md. */
  track: object | null;
  clip: Blob;
  /** Where the service takes it, once that is agreed. */
  address: string | null;
  trackSent: boolean;
  /** Why the service does not take it; null: it may. */
  refused: string | null;
}

const STORE = "clips";
let opened: Promise<IDBDatabase> | null = null;

function open(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("plumbrep", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

async function run<T>(mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(STORE, mode, { durability: "strict" });
    const request = work(transaction.objectStore(STORE));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

/** Keep a clip, or what has changed of it. @throws DOMException where the phone has no room for it */
export async function keep(kept: Kept): Promise<void> {
  await run("readwrite", (store) => store.put(kept));
  void navigator.storage?.persist?.();
}

export async function forget(id: string): Promise<void> {
  await run("readwrite", (store) => store.delete(id));
}

/** This person's clips, in the order in which they were made. */
export async function keptOf(person: string): Promise<Kept[]> {
  const all = await run<Kept[]>("readonly", (store) => store.getAll());
  return all.filter((kept) => kept.person === person);
}

/** A clip to be kept. Its identifier begins with the time, so that clips stay in order. */
export function newKept(person: string, what: string, plan: string, clip: Blob, filmed: string | null): Kept {
  const id = `${Date.now()}-${crypto.getRandomValues(new Uint32Array(1))[0]}`;
  const open = { address: null, trackSent: false, refused: null, track: null };
  return { id, person, what, plan, clip, filmed, ...open };
}
