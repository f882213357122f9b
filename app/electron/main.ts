// The main process: the list of what is set up, in order. Every line's rules stand in the file of its name.
import { app } from 'electron';
import { setUpCrashes } from './crashes.ts';
import { setUpDataDirectory } from './data-directory.ts';
import { setUpIpc } from './ipc.ts';
import { setUpMenu } from './menu.ts';
import { setUpNavigation } from './navigation.ts';
import { setUpPermissions } from './permissions.ts';
import { setUpPower } from './power.ts';
import { registerScheme, setUpProtocol } from './protocol.ts';
import { setUpServices } from './services.ts';
import { setUpSingleInstance } from './single-instance.ts';
import { setUpWindow } from './window.ts';

app.enableSandbox();
registerScheme();
const directory = setUpDataDirectory(process.argv);
setUpNavigation();

if (setUpSingleInstance()) void app.whenReady().then(setUpTrainer);

// Not awaited at the top: Electron is ready only after this module has been evaluated.
function setUpTrainer(): void {
  const services = setUpServices(directory);
  if (!services) return;
  setUpProtocol();
  setUpPermissions();
  setUpCrashes(directory);
  setUpIpc(services);
  setUpPower(services);
  setUpMenu(services);
  setUpWindow(services);
}
