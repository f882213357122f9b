// Finds the score inside compressed MusicXML (W3C MusicXML 4.0, compressed .mxl files and container reference).
import { strFromU8 } from 'fflate';
import { type Result, fail, ok } from '../../../base/result.ts';
import { type ZipEntry, readDirectory } from '../../zip/directory.ts';
import { extract } from '../../zip/extract.ts';
import { CONTAINER, SCORE_TYPE } from '../container.ts';
import { type XmlNode, childAt, childrenOf, readXml } from '../xml-read.ts';

/** As much as the reader of scores takes. */
const MOST_SCORE = 20_000_000;
const MOST_CONTAINER = 100_000;
const CONTAINER_LIMITS = { characters: MOST_CONTAINER, nodes: 1000, depth: 8, most: {} };

/** The bytes of the root score, still in its own encoding. Never throws. */
export function readMxl(bytes: Uint8Array): Result<Uint8Array<ArrayBuffer>> {
  const directory = readDirectory(bytes);
  if (!directory.ok) return directory;
  const root = rootPath(bytes, directory.value);
  if (!root.ok) return root;
  const score = directory.value.find(({ name }) => name === root.value);
  if (score) return extract(bytes, score, MOST_SCORE);
  const message = `its ${CONTAINER} names ‘${root.value.slice(0, 80)}’, which is not inside`;
  return refuse('mxl-root-missing', message);
}

function rootPath(bytes: Uint8Array, entries: readonly ZipEntry[]): Result<string> {
  const container = entries.find(({ name }) => name === CONTAINER);
  if (!container) return refuse('mxl-container', `it has no ${CONTAINER} that names the score`);
  const content = extract(bytes, container, MOST_CONTAINER);
  if (!content.ok) return content;
  const xml = readXml(strFromU8(content.value), CONTAINER_LIMITS);
  if (!xml.ok) return refuse('mxl-container', `its ${CONTAINER}: ${xml.problems[0]!.message}`);
  const path = rootFiles(xml.value).find(isScore)?.attributes['full-path'];
  return path
    ? ok(path.replace(/^\.?\//, ''))
    : refuse('mxl-root', `its ${CONTAINER} names no score`);
}

const rootFiles = (container: XmlNode): readonly XmlNode[] => {
  const list = childAt(container, 'rootfiles');
  return list ? childrenOf(list, 'rootfile') : [];
};

/** Older files name plain XML types. */
const isScore = ({ attributes }: XmlNode): boolean => {
  const type = attributes['media-type'];
  return type === undefined || /^(text|application)\/(x-)?xml$/.test(type) || type === SCORE_TYPE;
};

const refuse = (code: string, why: string): Result<never> =>
  fail({
    code,
    message: `the file is compressed, but not as a score: ${why}`,
    cure: 'Choose a .mxl file that a notation program wrote, or an uncompressed .musicxml file.',
  });
