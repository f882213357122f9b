// Text as XML and SVG files may hold it (XML 1.0, 2.2 Characters and 2.4 Character Data and Markup).

const ENTITIES: ReadonlyMap<string, string> = new Map([
  ['&', '&amp;'],
  ['<', '&lt;'],
  ['>', '&gt;'],
  ['"', '&quot;'],
]);

/** Characters that XML 1.0 has no place for, lone surrogates among them, become the replacement sign. */
const FORBIDDEN =
  /[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;

/** Most texts are short words and numbers with nothing to escape. */
const HARMLESS = /^[\w #+.,:()/-]*$/;

/** Fit for an element's text and for an attribute in double quotes. */
export const escapeXml = (text: string): string =>
  HARMLESS.test(text)
    ? text
    : text.replace(FORBIDDEN, '\uFFFD').replace(/[&<>"]/g, (sign) => ENTITIES.get(sign) ?? sign);
