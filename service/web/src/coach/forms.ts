// Forms and buttons that ask the API and then show the page anew: `data-api="POST /people/…/links"`.

import { ApiError, ask, told } from "../shared/api";
import { make, need } from "../shared/dom";

type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";

/** Send all such forms of the page by the API. */
export function sendForms(): void {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset["api"]) return;
    event.preventDefault();
    void send(form, form.dataset["api"]);
  });
}

async function send(form: HTMLFormElement, api: string): Promise<void> {
  const [method, path] = api.split(" ") as [Method, string];
  const body = method === "DELETE" ? undefined : fieldsOf(form);
  const ifMatch = form.dataset["state"];
  const button = form.querySelector("button");
  if (button) button.disabled = true;
  try {
    const once = method === "POST" ? { once: crypto.randomUUID() } : {};
    const response = await ask(path, { method, body, ...(ifMatch ? { ifMatch } : {}), ...once });
    if (form.dataset["show"]) showOnce(form, (await response.json()) as Record<string, string>);
    else if (form.dataset["then"]) location.assign(form.dataset["then"]);
    else location.reload();
  } catch (fault) {
    tell(form, fault);
  } finally {
    if (button) button.disabled = false;
  }
}

/** Fields by their names; numbers as numbers, empty ones left out. */
function fieldsOf(form: HTMLFormElement): Record<string, unknown> {
  const fields: Record<string, unknown> = {};
  for (const element of form.elements) {
    if (element instanceof HTMLInputElement && element.type === "checkbox" && element.name) fields[element.name] = element.checked;
    else if ((element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement || element instanceof HTMLSelectElement) && element.name) {
      if (element.value !== "") fields[element.name] = element instanceof HTMLInputElement && element.type === "number" ? Number(element.value) : element.value;
    }
  }
  return fields;
}

/** What is shown this once: a link's address. */
function showOnce(form: HTMLFormElement, given: Record<string, string>): void {
  const place = need(form.dataset["show"] ?? "", HTMLElement);
  place.hidden = false;
  const field = need("input", HTMLInputElement, place);
  field.value = given["address"] ?? "";
  field.focus();
  field.select();
}

/** Say what is wrong beside the form; of a text, select the line that it is in. */
function tell(form: HTMLFormElement, fault: unknown): void {
  const message = fault instanceof ApiError && fault.problem.errors?.length ? fault.problem.errors.map((each) => each.message).join("; ") : told(fault);
  let place = form.querySelector<HTMLElement>(".fault");
  if (!place) form.prepend((place = make("p", { class: "fault", role: "alert" })));
  place.textContent = message;
  const text = form.querySelector("textarea");
  if (!text) return;
  text.setAttribute("aria-invalid", "true");
  text.focus();
  const line = Number(/\bline (\d+)/.exec(message)?.[1] ?? 0);
  if (line > 0) select(text, line);
}

function select(text: HTMLTextAreaElement, line: number): void {
  const lines = text.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
  text.setSelectionRange(start, start + (lines[line - 1]?.length ?? 0));
}
