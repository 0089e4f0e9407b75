// The API, as the pages' scripts use it. Errors are problem details (RFC 9457).

import { say } from "./text";

const PREFIX = "/api/v1";

export interface Problem {
  type: string;
  title: string;
  status: number;
  detail?: string;
  errors?: { where: string; message: string }[];
}

/** An answer that is an error, or no answer (status 0). */
export class ApiError extends Error {
  readonly problem: Problem;

  constructor(problem: Problem) {
    super(problem.detail ?? problem.title);
    this.problem = problem;
  }

  /** Whether the server was not reached; then it is worth trying again. */
  get offline(): boolean {
    return this.problem.status === 0;
  }
}

interface Asked {
  method?: "GET" | "POST" | "PUT" | "PATCH" | "DELETE";
  /** Sent as JSON. */
  body?: unknown;
  /** The ETag of the state that is to be changed. */
  ifMatch?: string;
  /** Makes a POST safe to send again. */
  once?: string;
  /** Further headers. */
  headers?: Record<string, string>;
  signal?: AbortSignal;
}

/**
 * Ask the API.
 *
 * @param path under /api/v1, beginning with a slash
 * @throws ApiError
 */
export async function ask(path: string, asked: Asked = {}): Promise<Response> {
  const headers = new Headers({ Accept: "application/json", ...asked.headers });
  if (asked.body !== undefined) headers.set("Content-Type", "application/json");
  if (asked.ifMatch !== undefined) headers.set("If-Match", asked.ifMatch);
  if (asked.once !== undefined) headers.set("Idempotency-Key", asked.once);
  const request: RequestInit = { method: asked.method ?? "GET", headers, credentials: "same-origin" };
  if (asked.body !== undefined) request.body = JSON.stringify(asked.body);
  if (asked.signal !== undefined) request.signal = asked.signal;
  const response = await reach(PREFIX + path, request);
  if (!response.ok) throw new ApiError(await problemOf(response));
  return response;
}

/** The same, for what the answer holds. */
export async function askJson<T>(path: string, asked: Asked = {}): Promise<T> {
  const response = await ask(path, asked);
  return (await response.json()) as T;
}

async function reach(address: string, request: RequestInit): Promise<Response> {
  try {
    return await fetch(address, request);
  } catch (fault) {
    if (request.signal?.aborted) throw fault;
    throw new ApiError({ type: "about:blank", title: say("script.offline"), status: 0 });
  }
}

async function problemOf(response: Response): Promise<Problem> {
  try {
    return (await response.json()) as Problem;
  } catch {
    return { type: "about:blank", title: response.statusText || say("script.fault"), status: response.status };
  }
}

/** What to tell the person about an error, as a sentence: the service writes `what is wrong; what to do`. */
export function told(fault: unknown): string {
  const message = fault instanceof ApiError ? fault.message : say("script.fault");
  return message.charAt(0).toUpperCase() + message.slice(1) + (/[.?!]$/.test(message) ? "" : ".");
}
