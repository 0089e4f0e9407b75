// The clips that wait to be sent: shown with their progress, sent one after the other.

import { announce, make, need, show } from "../shared/dom";
import { say } from "../shared/text";
import { type Kept, forget, keep, keptOf } from "./outbox";
import { NotTaken, send } from "./send";

/** What happens when the service has a clip. */
export type Arrived = (clip: string, kept: Kept) => unknown;

export class Waiting {
  private readonly list = need("#waiting ul", HTMLUListElement);
  private readonly rows = new Map<string, Row>();

  constructor(
    private readonly person: string,
    private readonly arrived: Arrived,
  ) {}

  /** Show what is kept from earlier, and send it. */
  async resume(): Promise<void> {
    for (const kept of await keptOf(this.person)) void this.add(kept);
  }

  /** Send a clip that is kept. Several pages of one browser take turns. */
  async add(kept: Kept): Promise<void> {
    const row = this.row(kept);
    if (kept.refused !== null) {
      row.refused(kept.refused);
      return;
    }
    row.waits();
    const lock = navigator.locks;
    const sent = (): Promise<void> => this.send(kept, row);
    await (lock ? lock.request("plumbrep.sending", sent) : sent());
  }

  private async send(kept: Kept, row: Row): Promise<void> {
    try {
      const clip = await send(kept, row);
      await forget(kept.id);
      this.remove(kept.id);
      announce(say("send.arrived"));
      this.arrived(clip, kept);
    } catch (fault) {
      if (!(fault instanceof NotTaken)) throw fault;
      kept.refused = fault.message;
      await keep(kept);
      row.refused(fault.message);
    }
  }

  private row(kept: Kept): Row {
    let row = this.rows.get(kept.id);
    if (!row) {
      row = new Row(kept, {
        again: () => {
          kept.refused = null;
          void this.add(kept);
        },
        discard: () => void forget(kept.id).then(() => this.remove(kept.id)),
      });
      this.rows.set(kept.id, row);
      this.list.append(row.element);
    }
    show(need("#waiting", HTMLElement));
    return row;
  }

  private remove(id: string): void {
    this.rows.get(id)?.element.remove();
    this.rows.delete(id);
    show(need("#waiting", HTMLElement), this.rows.size > 0);
  }
}

interface Choices {
  again(): void;
  discard(): void;
}

/** One clip on its way. */
class Row {
  readonly element: HTMLLIElement;
  private readonly bar = make("progress", { max: 1, value: 0, "aria-label": say("send.progress") });
  private readonly state = make("p", { class: "soft number" });
  private readonly choices: HTMLElement;
  private readonly size: string;

  constructor(kept: Kept, choices: Choices) {
    this.size = megabytes(kept.clip.size);
    const again = make("button", { type: "button" }, say("send.again"));
    const discard = make("button", { type: "button", class: "danger" }, say("send.discard"));
    again.addEventListener("click", choices.again);
    discard.addEventListener("click", choices.discard);
    this.choices = make("div", { class: "row", hidden: true }, again, discard);
    this.element = make("li", {}, make("strong", {}, kept.what), this.bar, this.state, this.choices);
  }

  waits(): void {
    this.mark("soft", say("send.kept"));
  }

  progress(sent: number, all: number): void {
    this.bar.value = sent / all;
    this.mark("soft", say("send.sent", { sent: megabytes(sent), all: this.size }));
  }

  waiting(connected: boolean): void {
    this.mark("note", say(connected ? "send.busy" : "send.waiting"));
  }

  refused(reason: string): void {
    this.mark("fault", say("send.refused", { reason }), true);
    announce(this.state.textContent ?? "");
  }

  private mark(look: string, text: string, stopped = false): void {
    this.state.className = `${look} number`;
    this.state.textContent = text;
    show(this.bar, !stopped);
    show(this.choices, stopped);
  }
}

function megabytes(bytes: number): string {
  return (bytes / 2 ** 20).toFixed(1);
}
