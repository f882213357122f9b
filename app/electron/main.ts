// The main process: the list of what is set up, in order. Every line's rules stand in the file of its name.
import { app, BrowserWindow } from 'electron';
import type { ServiceHost } from '../services/machine/host.ts';
import { setUpAbout } from './about.ts';
import { ClimbKeeper } from './climb-keeper.ts';
import { setUpCrashes } from './crashes.ts';
import { setUpDataDirectory } from './data-directory.ts';
import { hostActions } from './host-actions.ts';
import { setUpIpc } from './ipc.ts';
import { setUpMenu } from './menu.ts';
import { setUpNavigation } from './navigation.ts';
import { OpenedFiles } from './opened-files.ts';
import { setUpPermissions } from './permissions.ts';
import { setUpPower } from './power.ts';
import { registerScheme, setUpProtocol } from './protocol.ts';
import { setUpServices } from './services.ts';
import { setUpSingleInstance } from './single-instance.ts';
import { setUpSpeech } from './speech.ts';
import { setUpUpdates } from './updates.ts';
import { setUpWindow } from './window.ts';

app.enableSandbox();
registerScheme();
setUpSpeech();
const directory = setUpDataDirectory(process.argv);
setUpNavigation();

let services: ServiceHost | undefined;
const climb = new ClimbKeeper(() => BrowserWindow.getAllWindows());
const files = new OpenedFiles(() => services?.emit('files', {}));

if (setUpSingleInstance(files)) void app.whenReady().then(setUpTrainer);

// Not awaited at the top: Electron is ready only after this module has been evaluated.
function setUpTrainer(): void {
  services = setUpServices(directory, hostActions(climb, files));
  if (!services) return;
  setUpAbout();
  setUpProtocol();
  setUpPermissions();
  setUpCrashes(directory);
  setUpIpc(services);
  setUpPower(services);
  setUpMenu(services, climb);
  setUpWindow(services, climb);
  setUpUpdates();
}
