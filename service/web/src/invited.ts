// Sets a coach's password by an invitation, whose token stands after `#` as that of a link does.

import { ask, told } from "./shared/api";
import { need, show } from "./shared/dom";
import { forgetPages } from "./shared/keeping";

const token = location.hash.slice(1);
history.replaceState(null, "", location.pathname);

const form = need("form", HTMLFormElement);
const password = need("#password", HTMLInputElement);
const code = need("#code", HTMLInputElement);
const fault = need("#fault", HTMLElement);

form.addEventListener("submit", (event) => {
  event.preventDefault();
  void accept();
});

async function accept(): Promise<void> {
  show(fault, false);
  try {
    await ask("/invitation", { method: "POST", body: { token, password: password.value, code: code.value || null } });
    await forgetPages();
    location.replace(form.dataset["then"] ?? "/");
  } catch (error) {
    fault.textContent = told(error);
    show(fault);
    password.setAttribute("aria-invalid", "true");
    password.focus();
  }
}
