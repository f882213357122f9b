// Draws the program's icons out of assets/icons/icon.svg: `node app/electron/make-icons.ts`. Chromium does the
// drawing; ICO and ICNS are plain containers of PNG pictures.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';
import { launchOptions } from '../../tests/browser/chromium.ts';

const folder = fileURLToPath(new URL('../../assets/icons', import.meta.url));

/** Sizes kept as PNG files, for Linux and for the window of a start from the sources. */
const KEPT = [16, 32, 48, 64, 128, 256, 512];
/** Sizes in a Windows icon. */
const ICO_SIZES = [16, 32, 48, 256];
/** Apple's type codes of PNG pictures by their size in pixels. */
const ICNS_TYPES: readonly (readonly [type: string, size: number])[] = [
  ['ic11', 32],
  ['ic12', 64],
  ['ic07', 128],
  ['ic08', 256],
  ['ic13', 256],
  ['ic09', 512],
  ['ic14', 512],
  ['ic10', 1024],
];

const pictures = await draw([...KEPT, 1024]);
for (const size of KEPT) save(`${size}x${size}.png`, pictures.get(size)!);
save('icon.ico', ico(ICO_SIZES));
save('icon.icns', icns());

async function draw(sizes: readonly number[]): Promise<Map<number, Buffer>> {
  const svg = fs.readFileSync(path.join(folder, 'icon.svg'), 'utf8');
  const browser = await chromium.launch(launchOptions());
  const page = await browser.newPage();
  const drawn = new Map<number, Buffer>();
  for (const size of sizes) {
    await page.setViewportSize({ width: size, height: size });
    await page.setContent(`<style>body{margin:0}svg{display:block;width:100vw}</style>${svg}`);
    drawn.set(size, await page.screenshot({ omitBackground: true }));
  }
  await browser.close();
  return drawn;
}

function save(name: string, bytes: Buffer): void {
  fs.writeFileSync(path.join(folder, name), bytes);
}

/** Header, one 16-byte entry per picture, pictures. A size of 256 is written as 0. */
function ico(sizes: readonly number[]): Buffer {
  const header = Buffer.alloc(6);
  header.writeUInt16LE(1, 2);
  header.writeUInt16LE(sizes.length, 4);
  let offset = header.length + 16 * sizes.length;
  const entries = sizes.map((size) => {
    const entry = Buffer.alloc(16);
    entry.writeUInt8(size % 256, 0);
    entry.writeUInt8(size % 256, 1);
    entry.writeUInt16LE(1, 4);
    entry.writeUInt16LE(32, 6);
    entry.writeUInt32LE(pictures.get(size)!.length, 8);
    entry.writeUInt32LE(offset, 12);
    offset += pictures.get(size)!.length;
    return entry;
  });
  return Buffer.concat([header, ...entries, ...sizes.map((size) => pictures.get(size)!)]);
}

/** 'icns', the whole length, then pictures with their type and length, all big-endian. */
function icns(): Buffer {
  const parts = ICNS_TYPES.map(([type, size]) => block(type, pictures.get(size)!));
  return block('icns', Buffer.concat(parts));
}

function block(type: string, content: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.write(type, 'ascii');
  head.writeUInt32BE(content.length + 8, 4);
  return Buffer.concat([head, content]);
}
