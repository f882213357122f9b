// Chromium speaks on Linux only when it is told to use the speech dispatcher.
import { app } from 'electron';

/** Chromium on Linux speaks only when asked to. Before the app is ready. */
export function setUpSpeech(): void {
  if (process.platform === 'linux') app.commandLine.appendSwitch('enable-speech-dispatcher');
}
