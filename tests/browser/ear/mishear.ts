// An ear that takes the second change of each pass for another chord, until it is told to hear as it does.
import type { Page } from '@playwright/test';

/** Call it before the page is opened. */
export const mishear = (page: Page): Promise<unknown> =>
  page.addInitScript(() => {
    Object.assign(globalThis, { mishears: true });
    const real = Object.getOwnPropertyDescriptor(Worker.prototype, 'onmessage')!;
    const spoil = (said: unknown): void => {
      if (typeof said !== 'object' || said === null || ArrayBuffer.isView(said)) return;
      if ('change' in said && said.change === 1) Object.assign(said, { chord: 'other' });
      for (const part of Object.values(said)) spoil(part);
    };
    Object.defineProperty(Worker.prototype, 'onmessage', {
      ...real,
      set(hear: (event: MessageEvent) => void) {
        real.set!.call(this, (event: MessageEvent) => {
          if (mishears) spoil(event.data);
          hear(event);
        });
      },
    });
  });

declare let mishears: boolean;

export const hearWell = (page: Page): Promise<unknown> =>
  page.evaluate(() => Object.assign(globalThis, { mishears: false }));
