// A foot on a pedal that types keys: down and up reach the page with the stamps of the foot, however busy it is.
import type { Page } from '@playwright/test';

const CODES = { PageUp: 33, PageDown: 34, ArrowUp: 38 } as const;
export type PedalKey = keyof typeof CODES;

/**
 * Presses a key for `held` milliseconds; between 30 and 500 it is a press, above a hold. Both edges carry their own
 * time: the page tells a press from a hold by these, and a slow one would hold the key down for longer.
 */
export async function step(page: Page, key: PedalKey, held = 80): Promise<void> {
  const browser = await page.context().newCDPSession(page);
  const code = CODES[key];
  const send = (type: 'keyDown' | 'keyUp', at: number) =>
    browser.send('Input.dispatchKeyEvent', {
      ...{ type, key, code: key, windowsVirtualKeyCode: code, nativeVirtualKeyCode: code },
      timestamp: at / 1000,
    });
  const down = Date.now();
  const began = send('keyDown', down);
  // A hold is told while the foot is still down.
  if (held > 500) await page.waitForTimeout(held);
  await Promise.all([began, send('keyUp', down + held)]);
  await page.waitForTimeout(Math.max(0, down + held - Date.now()));
  await browser.detach();
}
