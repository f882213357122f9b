// A browser page for rows of the bench that need one: the click page, with what Tone asks of a page's policy.
import { chromium, type Page } from '@playwright/test';
import { openAudioPage } from '../../browser/audio/open-page.ts';
import { launchOptions } from '../../browser/chromium.ts';

/** Tone's clock is a Blob worker and its plucked string a Blob worklet; our own player needs neither. */
const POLICY = ['default-src', 'script-src', 'connect-src', 'worker-src']
  .map((what) => `${what} 'self' blob:`)
  .join('; ');

export async function inPage<T>(use: (page: Page) => Promise<T>): Promise<T> {
  const browser = await chromium.launch(launchOptions({ entire: true }));
  try {
    return await use(await openAudioPage(browser, '../../bench/click/page.ts', POLICY));
  } finally {
    await browser.close();
  }
}
