// Reads XML from strangers: no external entities, no entity definitions, bounded in size, depth and number.
import { own } from '../../base/own.ts';
import { SaxesParser } from 'saxes';
import { type Problem, type Result, fail, ok } from '../../base/result.ts';

export interface XmlNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlNode[];
  /** All text directly inside, trimmed. */
  readonly text: string;
}

export interface XmlLimits {
  readonly characters: number;
  readonly nodes: number;
  readonly depth: number;
  /** How often one element may occur, by name: files of a million bars stop at the first too many. */
  readonly most: Readonly<Record<string, number>>;
}

/** An element that is still being read. */
interface OpenNode {
  readonly name: string;
  readonly attributes: Record<string, string>;
  children: XmlNode[];
  text: string;
}

/** Most elements of a score have none. */
const NO_CHILDREN: XmlNode[] = [];
Object.freeze(NO_CHILDREN);
const NO_ATTRIBUTES = Object.create(null) as Record<string, string>;
Object.freeze(NO_ATTRIBUTES);

function isEmpty(attributes: Record<string, string>): boolean {
  for (const _name in attributes) return false;
  return true;
}

/** The root element. A document type is allowed and never fetched; one that defines anything is refused. */
export function readXml(text: string, limits: XmlLimits): Result<XmlNode> {
  if (text.length > limits.characters) {
    const message = `the file has ${text.length} characters; the most that is read is ${limits.characters}`;
    return fail(problem('file-large', message, 'Choose a smaller file.'));
  }
  return new TreeReader(limits).read(text);
}

/** How many characters are handed over between looks at whether reading has already failed. */
const SLICE = 65_536;

/** What the parser says where a text is no XML. */
class Broken extends Error {}

class TreeReader {
  private readonly limits: XmlLimits;
  private readonly parser = new SaxesParser<{ xmlns: false; position: false }>({
    xmlns: false,
    position: false,
  });
  private readonly open: OpenNode[] = [];
  /** How many more elements of a name may come, for names that have a limit. */
  private readonly left: Map<string, number>;
  private nodes = 0;
  private root?: XmlNode;
  private found?: Problem;

  constructor(limits: XmlLimits) {
    this.limits = limits;
    this.left = new Map(Object.entries(limits.most));
    // The first fault is all that is told; a parser that goes on may find one at every character.
    this.parser.on('error', ({ message }) => {
      throw new Broken(message);
    });
    this.parser.on('doctype', (doctype) => this.checkDoctype(doctype));
    this.parser.on('opentag', ({ name, attributes }) => this.start(name, attributes));
    this.parser.on('text', (text) => this.addText(text));
    this.parser.on('cdata', (text) => this.addText(text));
    this.parser.on('closetag', () => this.end());
  }

  read(text: string): Result<XmlNode> {
    try {
      this.parse(text.replace(/^\uFEFF/u, ''));
    } catch (error) {
      if (!(error instanceof Broken)) throw error;
      this.stop(this.unreadable(error.message));
    }
    if (this.found) return fail(this.found);
    return this.root ? ok(this.root) : fail(this.unreadable('it is empty'));
  }

  private parse(text: string): void {
    for (let at = 0; at < text.length && !this.found; at += SLICE) {
      this.parser.write(text.slice(at, at + SLICE));
    }
    if (!this.found) this.parser.close();
  }

  private checkDoctype(doctype: string): void {
    if (!/[[]|<!ENTITY/i.test(doctype)) return;
    const cure = 'Export it again from the program that wrote it, without definitions of its own.';
    this.stop(
      problem('xml-entities', 'the file defines entities, which are not read for safety', cure),
    );
  }

  private start(name: string, attributes: Record<string, string>): void {
    if (this.found) return;
    // Only what has a limit is counted by its name: a score has tens of thousands of elements.
    const left = this.left.get(name);
    if (left !== undefined) this.left.set(name, left - 1);
    if (++this.nodes > this.limits.nodes || left === 0) {
      const what =
        left === 0 ? `${own(this.limits.most, name) ?? 0} <${name}>` : `${this.limits.nodes}`;
      return this.stop(
        problem('xml-many', `the file has more than ${what} elements`, 'Choose a shorter piece.'),
      );
    }
    if (this.open.length >= this.limits.depth) {
      const message = `the file is nested more than ${this.limits.depth} levels deep`;
      return this.stop(
        problem('file-deep', message, 'Choose a file that a notation program wrote.'),
      );
    }
    const kept = isEmpty(attributes) ? NO_ATTRIBUTES : attributes;
    this.open.push({ name, attributes: kept, children: NO_CHILDREN, text: '' });
  }

  private addText(text: string): void {
    const node = this.open.at(-1);
    if (!node || this.found) return;
    // The room between elements is most of a file's text, and none of it is kept.
    if (node.text !== '') node.text += text;
    else node.text = text.trimStart();
  }

  private end(): void {
    const node = this.open.pop();
    if (!node || this.found) return;
    if (node.text !== '') node.text = node.text.trimEnd();
    const parent = this.open.at(-1);
    if (!parent) this.root = node;
    else if (parent.children === NO_CHILDREN) parent.children = [node];
    else parent.children.push(node);
  }

  private stop(found: Problem): void {
    this.found ??= found;
  }

  private unreadable(why: string): Problem {
    const cure = 'Export it again, or take an earlier copy.';
    return problem('xml-unreadable', `the file is not whole XML (${why.slice(0, 120)})`, cure);
  }
}

const problem = (code: string, message: string, cure: string): Problem => ({ code, message, cure });

/** All children of this name, in order. */
export function childrenOf({ children }: XmlNode, name: string): readonly XmlNode[] {
  return children.length === 0 ? NO_CHILDREN : children.filter((child) => child.name === name);
}

/** The first child of this name, or the first one in it of the second name: a score asks it of every note a dozen times. */
export function childAt(
  node: XmlNode | undefined,
  name: string,
  within?: string,
): XmlNode | undefined {
  const first = node && firstOf(node, name);
  return first && within !== undefined ? firstOf(first, within) : first;
}

function firstOf({ children }: XmlNode, name: string): XmlNode | undefined {
  for (const child of children) if (child.name === name) return child;
  return undefined;
}

/** The text of {@link childAt}'s child; undefined where there is none. */
export const textAt = (
  node: XmlNode | undefined,
  name: string,
  within?: string,
): string | undefined => childAt(node, name, within)?.text;

/** A finite decimal number as XML writes one, or undefined. */
export function numberAt(
  node: XmlNode | undefined,
  name: string,
  within?: string,
): number | undefined {
  const text = textAt(node, name, within);
  return text !== undefined && /^[+-]?\d{1,9}(?:\.\d{1,9})?$/.test(text) ? Number(text) : undefined;
}
