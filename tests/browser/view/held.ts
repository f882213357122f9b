// A page that stands still while it is looked at: no frame comes, its clock waits, and its sound with it.
import type { Page } from '@playwright/test';

interface Sounding {
  readonly contexts: Set<AudioContext>;
}

/** Notes the audio contexts of the page, so that they can be held, or asked; call it before the page is opened. */
export const noteSound = (page: Page): Promise<unknown> =>
  page.addInitScript(() => {
    const contexts = new Set<AudioContext>();
    const Native = AudioContext;
    Object.assign(globalThis, {
      contexts,
      AudioContext: class extends Native {
        constructor(options?: AudioContextOptions) {
          super(options);
          contexts.add(this);
        }
      },
    });
  });

/**
 * Until it is let go, nothing that the stage does by itself after some seconds is done. Where the sound was noted,
 * it stands still as well, and the page is not told.
 */
export async function whileHeld<T>(page: Page, look: () => Promise<T>): Promise<T> {
  await page.evaluate(async () => {
    const { requestAnimationFrame: frame, cancelAnimationFrame: cancel } = globalThis;
    const clock = performance.now.bind(performance);
    const since = clock();
    const waiting = new Map<number, FrameRequestCallback>();
    let last = 0;
    globalThis.requestAnimationFrame = (next) => (waiting.set(--last, next), last);
    globalThis.cancelAnimationFrame = (id) => void (waiting.delete(id) || cancel(id));
    performance.now = () => since;
    const { contexts = new Set() } = globalThis as unknown as Partial<Sounding>;
    const held = [...contexts].filter(({ state }) => state === 'running');
    const told = { get: () => 'running', configurable: true };
    for (const context of held) Object.defineProperty(context, 'state', told);
    await Promise.all(held.map((context) => context.suspend()));
    const letGo = async () => {
      await Promise.all(held.map((context) => context.resume()));
      for (const context of held) Reflect.deleteProperty(context, 'state');
      const lost = clock() - since;
      performance.now = () => clock() - lost;
      Object.assign(globalThis, { requestAnimationFrame: frame, cancelAnimationFrame: cancel });
      for (const next of waiting.values()) frame(next);
    };
    Object.assign(globalThis, { letGo });
  });
  try {
    return await look();
  } finally {
    await page.evaluate(() => letGo());
  }
}

declare const letGo: () => Promise<void>;
