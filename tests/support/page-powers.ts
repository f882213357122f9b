// What a page may and may not do by itself, asked in the page.
import type { Page } from '@playwright/test';

/** The name of the error that script from text meets. In a timer: what the test driver evaluates is exempt. */
export const scriptFromText = (page: Page): Promise<string> =>
  page.evaluate(
    () =>
      new Promise<string>((resolve) =>
        setTimeout(() => {
          try {
            resolve(String(new Function('return 1')()));
          } catch (error) {
            resolve((error as Error).name);
          }
        }),
      ),
  );

/** "granted", or the name of the error with which microphone or camera are refused. */
export const askForMedia = (page: Page, what: MediaStreamConstraints): Promise<string> =>
  page.evaluate(
    (what) =>
      navigator.mediaDevices.getUserMedia(what).then(
        () => 'granted',
        (error: Error) => error.name,
      ),
    what,
  );
