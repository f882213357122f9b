// Where a player's charts, settings and log stand when no folder is named: the same place for both hosts.
import path from 'node:path';

export interface Surroundings {
  readonly platform: NodeJS.Platform;
  readonly home: string;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** The system's own folder for a program's data (XDG base directories on Linux). */
export function usualDataDirectory({ platform, home, env }: Surroundings): string {
  switch (platform) {
    case 'darwin':
      return path.join(home, 'Library', 'Application Support', 'Rungwise', 'practice');
    case 'win32':
      return path.join(
        env['APPDATA'] ?? path.join(home, 'AppData', 'Roaming'),
        'Rungwise',
        'practice',
      );
    default:
      return path.join(
        env['XDG_DATA_HOME'] ?? path.join(home, '.local', 'share'),
        'rungwise',
        'practice',
      );
  }
}
