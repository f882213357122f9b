// Packs the built program as `npm run package -- --dir` does, around a stub of Electron's runtime.
import fs from 'node:fs';
import path from 'node:path';
import type { AfterPackContext, Configuration, LinuxPackager } from 'app-builder-lib';
import { LinuxTargetHelper } from 'app-builder-lib/out/targets/LinuxTargetHelper.js';
import { Arch, build, Platform } from 'electron-builder';
import { root } from '../runtime.ts';
import { stubRuntime } from './stub-runtime.ts';

export interface Packed {
  /** What a user would unpack or install. */
  readonly folder: string;
  readonly archive: string;
}

/** Beside the folder: what the installers of Linux tell the desktop. */
export async function packLinux(out: string): Promise<Packed & { desktop: string; types: string }> {
  let desktop = '';
  let types = '';
  await pack(out, 'linux', {
    afterPack: async ({ packager }: AfterPackContext) => {
      const linux = packager as LinuxPackager;
      const helper = new LinuxTargetHelper(linux);
      desktop = await helper.computeDesktopEntry(linux.platformSpecificBuildOptions);
      types = fs.readFileSync((await helper.mimeTypeFiles)!, 'utf8');
    },
  });
  const folder = path.join(out, 'linux-unpacked');
  return { folder, archive: path.join(folder, 'resources', 'app.asar'), desktop, types };
}

/** The program on macOS is a folder, `Rungwise.app`. It is not signed: only a Mac can. */
export async function packMac(out: string): Promise<Packed> {
  // Drawn from the picture by a tool that electron-builder fetches; here an empty one stands for it.
  const icon = path.join(out, 'icon.icns');
  fs.mkdirSync(out, { recursive: true });
  fs.writeFileSync(icon, '');
  await pack(out, 'mac', { mac: { ...settings().mac, icon, identity: null } });
  const folder = path.join(out, 'mac', 'Rungwise.app', 'Contents');
  return { folder, archive: path.join(folder, 'Resources', 'app.asar') };
}

const settings = (): Configuration => {
  const file = path.join(root, 'app', 'electron', 'builder.json');
  return JSON.parse(fs.readFileSync(file, 'utf8')) as Configuration;
};

async function pack(out: string, system: 'linux' | 'mac', more: Configuration): Promise<void> {
  const platform = system === 'mac' ? Platform.MAC : Platform.LINUX;
  await build({
    projectDir: root,
    targets: platform.createTarget('dir', Arch.x64),
    publish: 'never',
    config: {
      ...settings(),
      ...more,
      directories: { ...settings().directories, output: out },
      electronDist: stubRuntime(path.join(out, 'stub'), system),
    },
  });
}
