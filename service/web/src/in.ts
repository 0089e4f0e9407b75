// Comes in by a link. Its token stands after `#`, where no server and no log sees it, and is taken out of the address at once.

import { ApiError, ask, told } from "./shared/api";
import { need, show } from "./shared/dom";
import { forgetPages } from "./shared/keeping";

const token = location.hash.slice(1);
history.replaceState(null, "", location.pathname);

async function comeIn(): Promise<void> {
  show(need("#failed", HTMLElement), false);
  try {
    await ask("/link", { method: "POST", body: { token } });
    await forgetPages();
    location.replace("/me");
  } catch (fault) {
    fail(fault);
  }
}

function fail(fault: unknown): void {
  const expired = !token || (fault instanceof ApiError && !fault.offline && fault.problem.status < 500);
  show(need("#waiting", HTMLElement), false);
  show(need("#expired", HTMLElement), expired);
  show(need("#failed", HTMLElement), !expired);
  if (!expired) need("#reason", HTMLElement).textContent = told(fault);
  need(expired ? "#expired h1" : "#failed h1", HTMLElement).focus();
}

need("#again", HTMLButtonElement).addEventListener("click", () => void comeIn());
if (token) void comeIn();
else fail(null);
