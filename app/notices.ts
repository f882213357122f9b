// The licences of all packages that the built program is made of, gathered from what Vite writes beside each part.
import fs from 'node:fs';
import path from 'node:path';

/** The file in each built part; its name stands in `electron.config.ts`, too. */
export const NOTICES = 'notices.json';

/** A package in the form of Vite's `build.license`. */
export interface PackageNotice {
  readonly name: string;
  readonly version: string;
  /** As SPDX writes it, e.g. "MIT". */
  readonly identifier?: string;
  readonly text?: string;
}

/**
 * Brings the notices of all parts together into the view's folder, where the handbook shows them.
 * @param packages The folder `node_modules`. @throws Error naming a package whose licence has no text.
 */
export function gatherNotices(view: string, parts: readonly string[], packages: string): void {
  const all = new Map<string, Required<PackageNotice>>();
  for (const part of [view, ...parts]) {
    const file = path.join(part, NOTICES);
    for (const notice of JSON.parse(fs.readFileSync(file, 'utf8')) as PackageNotice[]) {
      all.set(`${notice.name} ${notice.version}`, withText(notice, packages));
    }
    if (part !== view) fs.rmSync(file);
  }
  const sorted = [...all].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, notice]) => notice);
  fs.writeFileSync(path.join(view, NOTICES), JSON.stringify(sorted));
}

/** A few packages carry no file of their own: their README has the text, or their licence is a standard one. */
function withText(notice: PackageNotice, packages: string): Required<PackageNotice> {
  const { name, version, identifier = '' } = notice;
  const folder = path.join(packages, name);
  const text = notice.text ?? fromReadme(folder) ?? standardText(identifier, makerOf(folder));
  if (!text)
    throw new Error(`The package ${name} ${version} says nowhere under which licence it is.`);
  return { name, version, identifier, text };
}

function fromReadme(folder: string): string | undefined {
  const file = path.join(folder, 'README.md');
  if (!fs.existsSync(file)) return undefined;
  const section = /^#+ *licen[cs]e *$/im.exec(fs.readFileSync(file, 'utf8'));
  const text = section?.input
    .slice(section.index + section[0].length)
    .split(/^#/m)[0]
    ?.trim();
  return text && /permission/i.test(text) ? text : undefined;
}

function makerOf(folder: string): string {
  const manifest = fs.readFileSync(path.join(folder, 'package.json'), 'utf8');
  const { author } = JSON.parse(manifest) as { author?: string | { name: string } };
  return (typeof author === 'string' ? author : author?.name) ?? 'its authors';
}

/** Source: SPDX License List, MIT and ISC. */
function standardText(identifier: string, maker: string): string | undefined {
  const text = STANDARD.get(identifier);
  return text && `Copyright (c) ${maker}\n\n${text}`;
}

const STANDARD = new Map([
  [
    'MIT',
    `Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the "Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.`,
  ],
  [
    'ISC',
    `Permission to use, copy, modify, and/or distribute this software for any purpose with or without fee is hereby granted, provided that the above copyright notice and this permission notice appear in all copies.

THE SOFTWARE IS PROVIDED "AS IS" AND THE AUTHOR DISCLAIMS ALL WARRANTIES WITH REGARD TO THIS SOFTWARE INCLUDING ALL IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS. IN NO EVENT SHALL THE AUTHOR BE LIABLE FOR ANY SPECIAL, DIRECT, INDIRECT, OR CONSEQUENTIAL DAMAGES OR ANY DAMAGES WHATSOEVER RESULTING FROM LOSS OF USE, DATA OR PROFITS, WHETHER IN AN ACTION OF CONTRACT, NEGLIGENCE OR OTHER TORTIOUS ACTION, ARISING OUT OF OR IN CONNECTION WITH THE USE OR PERFORMANCE OF THIS SOFTWARE.`,
  ],
]);
