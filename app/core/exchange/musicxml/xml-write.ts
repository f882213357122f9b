// Writes XML: elements as nested data, text escaped, indented by two spaces.
import { escapeXml } from '../../base/xml-text.ts';

export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  /** Text, or elements; an empty list prints as an empty element. */
  readonly content: string | readonly XmlElement[];
}

type Value = string | number;
type Child = XmlElement | undefined;

const NO_ATTRIBUTES: XmlElement['attributes'] = Object.freeze({});

/** `undefined` children and attributes are left out, so that optional parts read as conditions. */
export function element(
  name: string,
  content: Value | readonly Child[] = [],
  attributes?: Readonly<Record<string, Value | undefined>>,
): XmlElement {
  return {
    name,
    attributes: attributes ? present(attributes) : NO_ATTRIBUTES,
    content: Array.isArray(content)
      ? (content as readonly Child[]).filter((child) => child !== undefined)
      : String(content),
  };
}

function present(attributes: Readonly<Record<string, Value | undefined>>): Record<string, string> {
  const kept: Record<string, string> = {};
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== undefined) kept[key] = String(value);
  }
  return kept;
}

export function printDocument(root: XmlElement): string {
  const lines = ['<?xml version="1.0" encoding="UTF-8"?>'];
  printElement(root, '', lines);
  return `${lines.join('\n')}\n`;
}

function printElement(
  { name, attributes, content }: XmlElement,
  indent: string,
  lines: string[],
): void {
  const open = `${indent}<${name}${attributes === NO_ATTRIBUTES ? '' : printAttributes(attributes)}`;
  if (content.length === 0) lines.push(`${open}/>`);
  else if (typeof content === 'string') lines.push(`${open}>${escapeXml(content)}</${name}>`);
  else {
    lines.push(`${open}>`);
    const inner = `${indent}  `;
    for (const child of content) printElement(child, inner, lines);
    lines.push(`${indent}</${name}>`);
  }
}

const printAttributes = (attributes: XmlElement['attributes']): string =>
  Object.entries(attributes)
    .map(([key, value]) => ` ${key}="${escapeXml(value)}"`)
    .join('');
