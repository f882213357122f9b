// No page of this program leads anywhere else: no navigation, no new window, no embedded page.
import { app } from 'electron';

const LEAVING = [
  'will-navigate',
  'will-frame-navigate',
  'will-redirect',
  'will-attach-webview',
] as const;

/** No page of ours leads anywhere else or opens a window. */
export function setUpNavigation(): void {
  app.on('web-contents-created', (_event, contents) => {
    const refuse = (event: { preventDefault: () => void }): void => event.preventDefault();
    for (const name of LEAVING) contents.on(name as 'will-navigate', refuse);
    contents.setWindowOpenHandler(() => ({ action: 'deny' }));
  });
}
