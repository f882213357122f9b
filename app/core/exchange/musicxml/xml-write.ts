// Writes XML: elements as nested data, text escaped, indented by two spaces.

export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  /** Text, or elements; an empty list prints as an empty element. */
  readonly content: string | readonly XmlElement[];
}

type Value = string | number;
type Child = XmlElement | undefined;

/** `undefined` children and attributes are left out, so that optional parts read as conditions. */
export function element(
  name: string,
  content: Value | readonly Child[] = [],
  attributes: Readonly<Record<string, Value | undefined>> = {},
): XmlElement {
  const kept = Object.entries(attributes).flatMap(([key, value]) =>
    value === undefined ? [] : [[key, String(value)] as const],
  );
  return {
    name,
    attributes: Object.fromEntries(kept),
    content: Array.isArray(content)
      ? (content as readonly Child[]).filter((child) => child !== undefined)
      : String(content),
  };
}

export const printDocument = (root: XmlElement): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n${printElement(root, '')}\n`;

function printElement({ name, attributes, content }: XmlElement, indent: string): string {
  const open = `${indent}<${name}${Object.entries(attributes).map(printAttribute).join('')}`;
  if (content.length === 0) return `${open}/>`;
  if (typeof content === 'string') return `${open}>${escapeXml(content)}</${name}>`;
  const inner = content.map((child) => printElement(child, `${indent}  `)).join('\n');
  return `${open}>\n${inner}\n${indent}</${name}>`;
}

const printAttribute = ([key, value]: [string, string]): string => ` ${key}="${escapeXml(value)}"`;

const ENTITIES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Characters that XML 1.0 has no place for, lone surrogates among them, become the replacement sign. */
const FORBIDDEN =
  /[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;

const escapeXml = (text: string): string =>
  text.replace(FORBIDDEN, '\uFFFD').replace(/[&<>"]/g, (sign) => ENTITIES[sign]!);
