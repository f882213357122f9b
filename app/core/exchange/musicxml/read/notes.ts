// The notes of a part, and the signs on them; loops of their own, since a score has tens of thousands of both.
import type { XmlNode } from '../xml-read.ts';

/** Every note of a part, measure by measure. */
export function* notesIn(part: XmlNode): Generator<XmlNode> {
  for (const measure of part.children)
    if (measure.name === 'measure')
      for (const child of measure.children) if (child.name === 'note') yield child;
}

const NONE: readonly XmlNode[] = [];

/** What stands on a note in groups of this name, "technical" or "articulations", or right among its notations. */
export function signsOf(note: XmlNode, group?: 'technical' | 'articulations'): readonly XmlNode[] {
  let signs: XmlNode[] | undefined;
  for (const notations of note.children) {
    if (notations.name !== 'notations') continue;
    if (group === undefined) (signs ??= []).push(...notations.children);
    else
      for (const child of notations.children)
        if (child.name === group) (signs ??= []).push(...child.children);
  }
  return signs ?? NONE;
}

/** Is a sign of this name among them? */
export const hasSign = (signs: readonly XmlNode[], name: string): boolean => {
  for (const sign of signs) if (sign.name === name) return true;
  return false;
};
