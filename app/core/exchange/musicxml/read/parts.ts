// Parts of a score: bars gathered by parts where they come the other way round, and marks that stand in one part for all.
import { jumpsIn } from '../jump-signs.ts';
import { type XmlNode, childAt, childrenOf } from '../xml-read.ts';

/** A score ordered by bars says the same as one ordered by parts (W3C MusicXML 4.0, score-timewise). */
export function partwise(score: XmlNode): XmlNode {
  if (score.name !== 'score-timewise') return score;
  const bars = childrenOf(score, 'measure');
  const ids = new Set(bars.flatMap((bar) => childrenOf(bar, 'part').map(idOf)));
  const parts = [...ids].map((id): XmlNode => ({
    name: 'part',
    attributes: { id },
    text: '',
    children: bars.map((bar) => ({
      ...bar,
      children: childrenOf(bar, 'part').find((part) => idOf(part) === id)?.children ?? [],
    })),
  }));
  const head = score.children.filter(({ name }) => name !== 'measure');
  return { ...score, name: 'score-partwise', children: [...head, ...parts] };
}

const idOf = (part: XmlNode): string => part.attributes.id ?? '';

type IsMark = (node: XmlNode) => boolean;

const typeIn = (node: XmlNode, ...names: string[]): boolean =>
  childrenOf(node, 'direction-type').some((type) => names.some((name) => childAt(type, name)));

const soundIn = (node: XmlNode): XmlNode | undefined =>
  node.name === 'sound' ? node : childAt(node, 'sound');

/** What holds for all parts and is mostly written in the uppermost only. */
const MARKS: readonly IsMark[] = [
  (node) => typeIn(node, 'rehearsal'),
  (node) => typeIn(node, 'metronome') || soundIn(node)?.attributes.tempo !== undefined,
  (node) => childAt(soundIn(node), 'swing') !== undefined,
  (node) => Object.keys(jumpsIn(node, false)).length > 0,
];

/** The part with the marks of each kind that it lacks, from the first part that has them. */
export function withSharedMarks(part: XmlNode, parts: readonly XmlNode[]): XmlNode {
  const lacking = MARKS.flatMap((isMark) => {
    if (hasMark(part, isMark)) return [];
    const source = parts.find((other) => other !== part && hasMark(other, isMark));
    return source ? [{ isMark, bars: childrenOf(source, 'measure') }] : [];
  });
  if (lacking.length === 0) return part;
  const bars = childrenOf(part, 'measure').map((bar, i) => {
    const shared = lacking.flatMap(({ isMark, bars: from }) =>
      directionsIn(from[i]).filter(isMark),
    );
    return { ...bar, children: insertMarks(bar.children, [...new Set(shared)]) };
  });
  return { ...part, children: bars };
}

const hasMark = (part: XmlNode, isMark: IsMark): boolean =>
  childrenOf(part, 'measure').some((bar) => directionsIn(bar).some(isMark));

const directionsIn = (bar: XmlNode | undefined): readonly XmlNode[] =>
  bar?.children.filter(({ name }) => name === 'direction' || name === 'sound') ?? [];

/** After the attributes with which a bar begins, so that its meter is known. */
function insertMarks(children: readonly XmlNode[], marks: readonly XmlNode[]): readonly XmlNode[] {
  if (marks.length === 0) return children;
  const first = children.findIndex(
    ({ name }) => name !== 'attributes' && name !== 'print' && name !== 'barline',
  );
  const at = first < 0 ? children.length : first;
  return [...children.slice(0, at), ...marks, ...children.slice(at)];
}
