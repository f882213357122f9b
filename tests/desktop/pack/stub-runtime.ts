// A folder that electron-builder takes for Electron's runtime: every file it looks for, and none that runs.
import fs from 'node:fs';
import path from 'node:path';

/** Marks the fuses within the executable (@electron/fuses, `constants.ts`). */
const SENTINEL = 'dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX';
/** Version 1 of the fuses, eight of them, all on ("1"): every one that is off in the package was turned off. */
const FUSES = Buffer.concat([Buffer.from(SENTINEL), Buffer.from([1, 8]), Buffer.from('11111111')]);

const HELPERS = ['', ' (GPU)', ' (Plugin)', ' (Renderer)'];

export function stubRuntime(folder: string, system: 'linux' | 'mac'): string {
  const put = (file: string, content: string | Buffer, mode = 0o644): void => {
    const full = path.join(folder, file);
    fs.mkdirSync(path.dirname(full), { recursive: true });
    fs.writeFileSync(full, content, { mode });
  };
  put('LICENSE', 'of Electron');
  put('LICENSES.chromium.html', 'of Chromium');
  put('version', '0.0.0');
  if (system === 'linux') {
    put('electron', FUSES, 0o755);
    put('locales/en-GB.pak', '');
    return folder;
  }
  const contents = 'Electron.app/Contents';
  put(
    `${contents}/Info.plist`,
    plist({ CFBundleExecutable: 'Electron', CFBundleName: 'Electron' }),
  );
  put(`${contents}/MacOS/Electron`, 'stub', 0o755);
  put(`${contents}/Resources/electron.icns`, '');
  put(`${contents}/Frameworks/Electron Framework.framework/Electron Framework`, FUSES, 0o755);
  for (const helper of HELPERS.map((kind) => `Electron Helper${kind}`)) {
    const within = `${contents}/Frameworks/${helper}.app/Contents`;
    put(`${within}/Info.plist`, plist({ CFBundleExecutable: helper, CFBundleName: helper }));
    put(`${within}/MacOS/${helper}`, 'stub', 0o755);
  }
  return folder;
}

const plist = (entries: Readonly<Record<string, string>>): string =>
  `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0"><dict>
${Object.entries(entries)
  .map(([key, value]) => `<key>${key}</key><string>${value}</string>`)
  .join('\n')}
</dict></plist>
`;
