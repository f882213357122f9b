// Keeps the screen on while climbing where the page has to do it itself: the Screen Wake Lock API (W3C).

/** The little of the browser that is needed, so that a test can stand in for it. */
export interface AwakePage {
  readonly wakeLock?: { readonly request: (type: 'screen') => Promise<WakeLock> };
  readonly isVisible: () => boolean;
  readonly onVisibilityChange: (listener: () => void) => void;
}

interface WakeLock {
  readonly release: () => Promise<void>;
}

/** A browser drops the lock when the page is hidden, so it is asked for again when the page comes back. */
export function keepPageAwake(page: AwakePage): (on: boolean) => Promise<void> {
  let wanted = false;
  let held: WakeLock | undefined;
  const settle = async (): Promise<void> => {
    if (wanted && !held && page.isVisible()) held = await page.wakeLock?.request('screen');
    if (!wanted && held) {
      const lock = held;
      held = undefined;
      await lock.release();
    }
  };
  // Refused (a low battery, a missing API) the climb goes on all the same; the screen may then dim.
  const trySettle = (): Promise<void> => settle().catch(() => undefined);
  page.onVisibilityChange(() => {
    if (!page.isVisible()) held = undefined;
    void trySettle();
  });
  return (on) => {
    wanted = on;
    return trySettle();
  };
}
