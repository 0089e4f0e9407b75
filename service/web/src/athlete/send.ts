// Sends a kept clip by tus, in pieces, and goes on by itself after a lost connection or a reload.

import { DetailedError, Upload } from "tus-js-client";
import { ApiError, type Problem, ask } from "../shared/api";
import { say } from "../shared/text";
import { type Kept, keep } from "./outbox";

const PIECE = 4 * 2 ** 20;
const SOON = [300, 1000, 3000];
const FIRST_WAIT = 1000;
const LONGEST_WAIT = 20_000;
const TUS = { "Tus-Resumable": "1.0.0" };

/** What the service will not take, whatever is tried: the message says why. */
export class NotTaken extends Error {}

export interface Told {
  progress(sent: number, all: number): void;
  /** The connection is lost, or the service cannot take it now; it goes on by itself. */
  waiting(connected: boolean): void;
}

/** Send a clip until the service has it; the identifier that it has there. @throws NotTaken */
export async function send(kept: Kept, told: Told): Promise<string> {
  for (let wait = FIRST_WAIT; ; wait = Math.min(2 * wait, LONGEST_WAIT)) {
    try {
      kept.address ??= await announce(kept);
      await keep(kept);
      await sendTrack(kept);
      return await sendPieces(kept, told);
    } catch (fault) {
      const status = statusOf(fault);
      const problem = problemOf(fault);
      if (status === 410 || status === 404) {
        kept.address = null; // it took too long and is no longer kept there
        kept.trackSent = false;
      } else if (isFinal(status, problem)) throw new NotTaken(reasonOf(status, problem));
      told.waiting(status >= 500);
      await online(wait);
    }
  }
}

async function announce(kept: Kept): Promise<string> {
  const about: Record<string, string> = {};
  if (kept.plan) about["prescription"] = kept.plan;
  if (kept.filmed) about["filmed"] = kept.filmed;
  const headers: Record<string, string> = { ...TUS, "Upload-Length": String(kept.clip.size) };
  if (Object.keys(about).length) headers["Upload-Metadata"] = metadata(about);
  const response = await ask("/uploads", { method: "POST", headers });
  const address = response.headers.get("Location");
  if (!address) throw new Error("the service named no place for the clip");
  return address;
}

function metadata(about: Record<string, string>): string {
  return Object.entries(about)
    .map(([name, value]) => `${name} ${btoa(value)}`)
    .join(",");
}

/** Send roll and pitch. A clip is worth more than they are: what is wrong with them does not hold it up. */
async function sendTrack(kept: Kept): Promise<void> {
  if (kept.track === null || kept.trackSent || kept.address === null) return;
  try {
    await ask(`${kept.address.replace("/api/v1", "")}/sensor`, { method: "PUT", body: kept.track });
  } catch (fault) {
    if (!(fault instanceof ApiError) || ![409, 422].includes(fault.problem.status)) throw fault;
  }
  kept.trackSent = true;
  await keep(kept);
}

function sendPieces(kept: Kept, told: Told): Promise<string> {
  const ended = new AbortController();
  return new Promise<string>((resolve, reject) => {
    const upload = new Upload(kept.clip, {
      uploadUrl: kept.address,
      chunkSize: PIECE,
      retryDelays: SOON,
      storeFingerprintForResuming: false, // the outbox remembers the address
      onProgress: (sent, all) => told.progress(sent, all),
      onSuccess: ({ lastResponse }) => {
        const clip = lastResponse.getHeader("Plumbrep-Clip");
        if (clip) resolve(clip);
        else reject(new Error("the service did not say which clip it became"));
      },
      onError: reject,
    });
    // A request that was under way may hang for minutes before anybody calls it lost.
    const lost = (): void => void upload.abort().finally(() => reject(new Error("the connection was lost")));
    addEventListener("offline", lost, { signal: ended.signal });
    upload.start();
  }).finally(() => ended.abort());
}

function statusOf(fault: unknown): number {
  if (fault instanceof ApiError) return fault.problem.status;
  if (fault instanceof DetailedError) return fault.originalResponse?.getStatus() ?? 0;
  if (fault instanceof Error) return 0;
  throw fault;
}

function problemOf(fault: unknown): Partial<Problem> {
  if (fault instanceof ApiError) return fault.problem;
  const body = fault instanceof DetailedError ? fault.originalResponse?.getBody() : "";
  try {
    return JSON.parse(body || "{}") as Partial<Problem>;
  } catch {
    return {};
  }
}

/** Whether trying again by itself would be of no use: 408, 423 and 425 pass, as 409 does unless a consent is missing. */
function isFinal(status: number, { type }: Partial<Problem>): boolean {
  if (status === 409) return type?.endsWith("/no-consent") ?? false;
  return status >= 400 && status < 500 && ![408, 423, 425].includes(status);
}

function reasonOf(status: number, { type, detail }: Partial<Problem>): string {
  if (status === 401) return say("send.signed_out");
  if (type?.endsWith("/no-consent")) return say("send.no_consent");
  return detail ?? say("script.fault");
}

/** Wait a while, or until the phone says that it is online again. */
function online(wait: number): Promise<void> {
  return new Promise((resolve) => {
    const done = (): void => {
      clearTimeout(timer);
      removeEventListener("online", done);
      resolve();
    };
    const timer = setTimeout(done, wait);
    addEventListener("online", done);
  });
}
