// Takes a clip that is already on the phone.

import { type Kept, newKept } from "./outbox";

/** Let each `input[data-pick]` of the page hand over the clip that is chosen. */
export function addPickers(person: string, picked: (kept: Kept) => void): void {
  for (const input of document.querySelectorAll<HTMLInputElement>("input[data-pick]")) {
    const take = (): void => {
      const file = input.files?.[0];
      if (!file) return;
      picked(newKept(person, input.dataset["what"] ?? file.name, input.dataset["pick"] ?? "", file, null));
      input.value = "";
    };
    input.addEventListener("change", take);
    take(); // chosen before this script had come
  }
}
