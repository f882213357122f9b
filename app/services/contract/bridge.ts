// The narrow way between a page and the machine side: calls one way, events the other.
import type { CallName, Envelope } from './contract.ts';
import type { EventName } from './events.ts';

/** What the preload puts on `window.rungwise`; plain data in, plain data out. */
export interface Bridge {
  readonly call: (name: CallName, input: unknown) => Promise<Envelope<unknown>>;
  readonly on: (event: EventName, listener: (detail: unknown) => void) => () => void;
}
