// What the system's About window says, on all three systems.
import { app } from 'electron';

/** The About window, and the name by which Windows knows the program. */
export function setUpAbout(): void {
  // Windows groups windows and notices by it.
  app.setAppUserModelId('org.rungwise.trainer');
  app.setAboutPanelOptions({
    applicationName: 'Rungwise',
    applicationVersion: app.getVersion(),
    copyright: 'MIT licence. The licences of all parts are in the handbook, under Licences.',
    credits: 'A practice trainer for guitarists.',
  });
}
