// Opens an address in the user's browser where there is a display; says whether it tried.
import { spawn } from 'node:child_process';

/** Is there a screen that a window could appear on? */
export function hasDisplay(
  platform: NodeJS.Platform,
  env: Readonly<Record<string, string | undefined>>,
): boolean {
  if (platform === 'darwin' || platform === 'win32') return true;
  return Boolean(env['DISPLAY'] || env['WAYLAND_DISPLAY']);
}

/** The system's own way to open an address. */
export function openCommand(platform: NodeJS.Platform): readonly [string, ...string[]] {
  switch (platform) {
    case 'darwin':
      return ['open'];
    case 'win32':
      return ['rundll32', 'url.dll,FileProtocolHandler'];
    default:
      return ['xdg-open'];
  }
}

/** Never throws: the printed address always serves instead. */
export function openBrowser(address: string, platform: NodeJS.Platform): void {
  const [command, ...before] = openCommand(platform);
  const child = spawn(command, [...before, address], { stdio: 'ignore', detached: true });
  child.on('error', () => console.log(`No browser could be opened; open this address yourself.`));
  child.unref();
}
