// A page that stands still while it is looked at: no frame comes, and its clock waits.
import type { Page } from '@playwright/test';

/** Until it is let go, nothing that the stage does by itself after some seconds is done. */
export async function whileHeld<T>(page: Page, look: () => Promise<T>): Promise<T> {
  await page.evaluate(() => {
    const { requestAnimationFrame: frame, cancelAnimationFrame: cancel } = globalThis;
    const clock = performance.now.bind(performance);
    const since = clock();
    const waiting = new Map<number, FrameRequestCallback>();
    let last = 0;
    globalThis.requestAnimationFrame = (next) => (waiting.set(--last, next), last);
    globalThis.cancelAnimationFrame = (id) => void (waiting.delete(id) || cancel(id));
    performance.now = () => since;
    const letGo = () => {
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

declare const letGo: () => void;
