// Chromium speaks on Linux only when it is told to use the speech dispatcher.
import { app } from 'electron';

export function setUpSpeech(): void {
  if (process.platform === 'linux') app.commandLine.appendSwitch('enable-speech-dispatcher');
}
