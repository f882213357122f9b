// Writes XML: elements as nested data, text escaped, indented by two spaces.
import { escapeXml } from '../../base/xml-text.ts';

/** An element; its text and attributes are escaped when it is made, once where it is used again and again. */
export interface XmlElement {
  readonly name: string;
  /** As it stands in the opening tag, with a space before each. */
  readonly attributes: string;
  /** Text that is escaped, or elements; an empty list prints as an empty element. */
  readonly content: string | readonly XmlElement[];
}

type Value = string | number;
type Child = XmlElement | undefined;

/** `undefined` children and attributes are left out, so that optional parts read as conditions. */
export function element(
  name: string,
  content: Value | readonly Child[] = NOTHING,
  attributes?: Readonly<Record<string, Value | undefined>>,
): XmlElement {
  return {
    name,
    attributes: attributes ? printAttributes(attributes) : '',
    content: typeof content === 'object' ? present(content) : textOf(content),
  };
}

const NOTHING: readonly XmlElement[] = Object.freeze([]);

const textOf = (content: Value): string =>
  typeof content === 'number' ? String(content) : escapeXml(content);

function present(children: readonly Child[]): readonly XmlElement[] {
  return children.includes(undefined)
    ? children.filter((child) => child !== undefined)
    : (children as readonly XmlElement[]);
}

function printAttributes(attributes: Readonly<Record<string, Value | undefined>>): string {
  let printed = '';
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== undefined) printed += ` ${key}="${textOf(value)}"`;
  }
  return printed;
}

/** The document with its declaration, in UTF-8. */
export const printDocument = (root: XmlElement): string =>
  `<?xml version="1.0" encoding="UTF-8"?>${printed(root, '\n')}\n`;

/** With its line break and indent before it. What stands in measures is often one element many times: see below. */
function printed(element: XmlElement, indent: string, shared?: Map<XmlElement, string>): string {
  const known = shared?.get(element);
  if (known !== undefined) return known;
  const text = printedAnew(element, indent);
  shared?.set(element, text);
  return text;
}

function printedAnew({ name, attributes, content }: XmlElement, indent: string): string {
  if (content.length === 0) return `${indent}<${name}${attributes}/>`;
  if (typeof content === 'string') return `${indent}<${name}${attributes}>${content}</${name}>`;
  const inner = `${indent}  `;
  let text = `${indent}<${name}${attributes}>`;
  // All measures of a part stand at one depth, so that an element of several measures is printed alike in each.
  if (name === 'part') return `${text}${measures(content, inner)}${indent}</${name}>`;
  for (const child of content) text += printed(child, inner);
  return `${text}${indent}</${name}>`;
}

function measures(all: readonly XmlElement[], indent: string): string {
  const shared = new Map<XmlElement, string>();
  let text = '';
  for (const measure of all) {
    const { name, attributes, content } = measure;
    if (typeof content === 'string' || content.length === 0) {
      text += printedAnew(measure, indent);
      continue;
    }
    text += `${indent}<${name}${attributes}>`;
    for (const child of content) text += printed(child, `${indent}  `, shared);
    text += `${indent}</${name}>`;
  }
  return text;
}
