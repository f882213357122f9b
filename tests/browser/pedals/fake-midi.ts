// A Web MIDI that a test plugs, presses and refuses, put in the page before its own scripts run.
import type { Page } from '@playwright/test';

interface FakeMidi {
  /** Why MIDI is not opened: the name of the error. */
  fault: string | undefined;
  /** Another program holds every pedal. */
  busy: boolean;
  plug(name: string): void;
  unplug(name: string): void;
  send(name: string, at: number, ...bytes: number[]): void;
}

/** Replaces `navigator.requestMIDIAccess`; call it before the page is opened. */
export async function installFakeMidi(
  page: Page,
  { fault, busy = false }: { fault?: 'NotAllowedError' | 'InvalidStateError'; busy?: boolean } = {},
): Promise<void> {
  await page.addInitScript(
    ([fault, busy]) => {
      const inputs = new Map<string, Record<string, unknown>>();
      const access = { inputs, outputs: new Map(), onstatechange: null as null | (() => void) };
      const midi: FakeMidi = {
        fault,
        busy,
        plug: (name) => {
          const open = async (): Promise<void> => {
            if (midi.busy) throw new DOMException('held', 'InvalidAccessError');
          };
          inputs.set(name, { id: name, name, state: 'connected', onmidimessage: null, open });
          access.onstatechange?.();
        },
        unplug: (name) => {
          const input = inputs.get(name);
          if (input) input.state = 'disconnected';
          access.onstatechange?.();
        },
        send: (name, at, ...bytes) => {
          const hear = inputs.get(name)?.onmidimessage as ((event: object) => void) | null;
          hear?.({ data: new Uint8Array(bytes), timeStamp: at });
        },
      };
      Object.assign(globalThis, { fakeMidi: midi });
      navigator.requestMIDIAccess = async () => {
        if (midi.fault) throw new DOMException('no MIDI', midi.fault);
        return access as unknown as MIDIAccess;
      };
      // Permission is asked for by hand in these tests.
      navigator.permissions.query = async () => ({ state: 'prompt' }) as PermissionStatus;
    },
    [fault, busy] as const,
  );
}

/** A message and when it was sent, in milliseconds from the first one. */
export type Sent = readonly [at: number, ...bytes: number[]];

/** Control 64 on and off again: a press of 60 ms, a hold of 700 ms, two presses. */
export const PRESS: readonly Sent[] = [
  [0, 0xb0, 64, 127],
  [60, 0xb0, 64, 0],
];
export const HOLD: readonly Sent[] = [
  [0, 0xb0, 64, 127],
  [700, 0xb0, 64, 0],
];
export const TWICE: readonly Sent[] = [...PRESS, [160, 0xb0, 64, 127], [220, 0xb0, 64, 0]];
/** A press of the switch that records, and of the one that takes back. */
export const RECORD: readonly Sent[] = [
  [0, 0xb0, 66, 127],
  [60, 0xb0, 66, 0],
];
export const TAKE_BACK: readonly Sent[] = [
  [0, 0xb0, 67, 127],
  [60, 0xb0, 67, 0],
];
/** The contact opens and closes for 30 ms before it holds. */
export const BOUNCING: readonly Sent[] = [
  [0, 0xb0, 64, 127],
  [8, 0xb0, 64, 0],
  [15, 0xb0, 64, 127],
  [22, 0xb0, 64, 0],
  [29, 0xb0, 64, 127],
  [120, 0xb0, 64, 0],
];

/** A pedal under the test's own feet. */
export class FakePedal {
  readonly #page: Page;
  readonly #name: string;

  constructor(page: Page, name: string) {
    this.#page = page;
    this.#name = name;
  }

  plug = () => this.#do('plug');
  unplug = () => this.#do('unplug');

  /** The messages arrive together, each with its own time stamp, so that a slow machine changes nothing. */
  async send(messages: readonly Sent[]): Promise<void> {
    // The foot goes down after what it answers was seen, so no stamp lies before this call.
    await this.#page.waitForTimeout(Math.max(...messages.map(([at]) => at)));
    await this.#page.evaluate(
      ([name, all]) => {
        const { fakeMidi } = globalThis as unknown as { fakeMidi: FakeMidi };
        const start = performance.now() - Math.max(...all.map(([at]) => at));
        for (const [at, ...bytes] of all) fakeMidi.send(name, start + at, ...bytes);
      },
      [this.#name, messages] as const,
    );
    // Longer than a bounce, so that the next press is one of its own.
    await this.#page.waitForTimeout(60);
  }

  #do(what: 'plug' | 'unplug'): Promise<void> {
    return this.#page.evaluate(
      ([name, action]) => {
        const { fakeMidi } = globalThis as unknown as { fakeMidi: FakeMidi };
        fakeMidi[action](name);
      },
      [this.#name, what] as const,
    );
  }
}
