// A chart that was changed on two machines at once: the version that does not stand becomes a chart of its own.
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { idOf, type Write } from './writes.ts';

/** The id of that chart: the same on every machine. */
export const idAside = (chart: string, write: Write): string =>
  `${chart.slice(0, 40)}-other-${bytesToHex(sha256(utf8ToBytes(`${chart} ${idOf(write)}`))).slice(0, 12)}`;

/** Its text: the other one, with an id and a title of its own. @param text of a chart's file */
export function textAside(chart: string, write: Write, text: string): string {
  const id = idAside(chart, write);
  const bare = text.replace(/^\uFEFF?id:[^\n]*\n/, '');
  const from = write.machine.replace(/[\r\n]/g, ' ').trim() || 'another computer';
  const titled = bare.replace(/^title:[ \t]*(.+?)[ \t]*$/m, (_, title: string) => {
    return `title: ${title} (from ${from})`;
  });
  return `id: ${id}\n${titled}`;
}
