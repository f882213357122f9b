// The handbook's pages: Markdown files of assets/handbook, drawn as HTML, and their sections for the search.
import { marked } from 'marked';
import { own } from '../../../app/core/base/own.ts';

export interface Page {
  /** Name of the file without its ending, and the page's address in the room. */
  readonly id: string;
  readonly title: string;
  readonly html: string;
  readonly sections: readonly Section[];
}

export interface Section {
  /** Address of the heading within the page; '' is the page's beginning. */
  readonly anchor: string;
  readonly heading: string;
  readonly text: string;
}

/** In the order of reading. */
const ORDER = [
  'student',
  'teacher',
  'notation',
  'files',
  'keys',
  'listening',
  'care',
  'changelog',
  'licences',
];

const sources = import.meta.glob<string>('../../../assets/handbook/*.md', {
  query: '?raw',
  import: 'default',
});

/** One page by its id; undefined where there is none. */
export async function loadPage(id: string): Promise<Page | undefined> {
  const load = own(sources, `../../../assets/handbook/${id}.md`);
  return load && readPage(id, await load());
}

/** Every page, read once. */
export const loadPages = async (): Promise<readonly Page[]> => {
  const files = Object.entries(sources).map(
    ([file, load]) => [file.replace(/^.*\/|\.md$/g, ''), load] as const,
  );
  const shown = files.filter(([id]) => id !== 'developers');
  const pages = await Promise.all(shown.map(async ([id, load]) => readPage(id, await load())));
  const place = ({ id }: Page): number => (ORDER.includes(id) ? ORDER.indexOf(id) : ORDER.length);
  return pages.sort((a, b) => place(a) - place(b));
};

/** GitHub's way of making a heading's address, so that links hold there as well. */
export const anchorOf = (heading: string): string =>
  heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s-]/gu, '')
    .trim()
    .replace(/\s/g, '-');

/** @param markdown Of our own writing: it is drawn as it is, when it is first shown. */
export function readPage(id: string, markdown: string): Page {
  const sections = sectionsOf(markdown);
  let drawn: string | undefined;
  return {
    ...{ id, title: sections[0]?.heading ?? id, sections },
    get html() {
      return (drawn ??= htmlOf(markdown));
    },
  };
}

function htmlOf(markdown: string): string {
  return (marked.parse(markdown, { async: false }) as string).replace(
    /<h([1-6])>(.*?)<\/h\1>/g,
    // The room's own title is the first heading of the page.
    (_all, level: string, inner: string) =>
      `<h${Number(level) + 1} id="${anchorOf(inner.replace(/<[^>]+>/g, ''))}" tabindex="-1">${inner}</h${Number(level) + 1}>`,
  );
}

function sectionsOf(markdown: string): Section[] {
  return markdown.split(/^(?=#{1,4} )/m).flatMap((part) => {
    const [, heading] = /^#{1,4} (.*)/.exec(part) ?? [];
    if (heading === undefined) return [];
    const text = part
      .replace(/^.*\n?/, '')
      .replace(/[`*_|#>[\]]|\(\S*\)/g, ' ')
      .replace(/\s+/g, ' ');
    return [{ anchor: anchorOf(heading), heading, text }];
  });
}

export interface Found {
  readonly page: Page;
  readonly section: Section;
  /** The words around the first hit. */
  readonly excerpt: string;
}

/** Sections that hold every word, headings first. Case does not matter. */
export function search(pages: readonly Page[], words: string): readonly Found[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  if (wanted.length === 0) return [];
  const found = pages.flatMap((page) =>
    page.sections.flatMap((section) => {
      const all = `${section.heading} ${section.text}`.toLowerCase();
      if (!wanted.every((word) => all.includes(word))) return [];
      return [{ page, section, excerpt: excerptOf(section.text, wanted[0]!) }];
    }),
  );
  const inHeading = ({ section }: Found): boolean =>
    section.heading.toLowerCase().includes(wanted[0]!);
  return found.sort((a, b) => Number(inHeading(b)) - Number(inHeading(a)));
}

function excerptOf(text: string, word: string): string {
  const at = Math.max(0, text.toLowerCase().indexOf(word));
  const from = Math.max(0, at - 50);
  return `${from > 0 ? '… ' : ''}${text.slice(from, at + 110).trim()} …`;
}
