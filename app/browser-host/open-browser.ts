// Opens an address in the user's browser where there is a display.
import open from 'open';

/** Is there a screen that a window could appear on? */
export function hasDisplay(
  platform: NodeJS.Platform,
  env: Readonly<Record<string, string | undefined>>,
): boolean {
  if (platform === 'darwin' || platform === 'win32') return true;
  return Boolean(env['DISPLAY'] || env['WAYLAND_DISPLAY']);
}

/** Never throws; false where nothing could be opened: the printed address always serves instead. */
export async function openBrowser(address: string): Promise<boolean> {
  const said = (): void => console.log('No browser could be opened; open this address yourself.');
  try {
    const child = await open(address);
    child.on('error', said);
    return true;
  } catch {
    said();
    return false;
  }
}
