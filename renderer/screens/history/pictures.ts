// Makes files of what is drawn, the same for plots and vector drawings: an SVG, and a PNG of that SVG.
import type uPlot from 'uplot';
import { fileName, saveFile } from '../../page/save-file.ts';
import type { Colours } from './colours.ts';
import { escapeXml } from '../../../app/core/base/xml-text.ts';
import { element, SvgPen, WrittenPath } from './svg-pen.ts';

/** A drawing in CSS pixels; `content` is SVG. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly content: string;
}

/** Has the plot draw itself once more, onto a pen that writes SVG; what is on screen stays. */
export function drawingOfPlot(plot: uPlot): Drawing {
  const { ctx } = plot;
  const pen = new SvgPen(ctx);
  const CanvasPath = globalThis.Path2D;
  globalThis.Path2D = WrittenPath as unknown as typeof Path2D;
  // Own properties of the context stand before its class's methods, and go again.
  Object.assign(ctx, pen.methods);
  try {
    plot.batch(() => plot.redraw());
  } finally {
    globalThis.Path2D = CanvasPath;
    for (const name of Object.keys(pen.methods)) Reflect.deleteProperty(ctx, name);
    plot.redraw();
  }
  const scale = `scale(${1 / devicePixelRatio})`;
  return {
    width: ctx.canvas.width / devicePixelRatio,
    height: ctx.canvas.height / devicePixelRatio,
    content: element('g', { transform: scale }, pen.content),
  };
}

/** Style that a drawing takes from the page, written into the copy so that it stands alone. */
const CARRIED = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'font-size',
  'font-weight',
  'font-family',
  'text-anchor',
];

/** A drawing that looks the same outside the page, without its style sheets. */
export function drawingOfSvg(svg: SVGSVGElement): Drawing {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  const copies = [...copy.querySelectorAll('*')];
  [...svg.querySelectorAll('*')].forEach((original, i) => {
    const style = getComputedStyle(original);
    for (const name of CARRIED) copies[i]!.setAttribute(name, style.getPropertyValue(name));
    copies[i]!.removeAttribute('class');
  });
  const { width, height } = svg.viewBox.baseVal;
  const writer = new XMLSerializer();
  const content = [...copy.children].map((child) => writer.serializeToString(child)).join('\n');
  return { width, height, content };
}

const HEAD = 36;
const MARGIN = 12;

/** The drawing on paper of its own, under its title. */
export function sheetOf({ width, height, content }: Drawing, title: string, look: Colours): string {
  const [w, h] = [Math.ceil(width) + 2 * MARGIN, Math.ceil(height) + HEAD + MARGIN];
  const inner = [
    element('rect', { width: '100%', height: '100%', fill: look.sheet }),
    element(
      'text',
      { x: `${MARGIN}`, y: '24', fill: look.ink, style: 'font: 600 16px system-ui, sans-serif' },
      escapeXml(title),
    ),
    element('g', { transform: `translate(${MARGIN} ${HEAD})` }, content),
  ];
  const size = { width: `${w}`, height: `${h}`, viewBox: `0 0 ${w} ${h}` };
  return element(
    'svg',
    { xmlns: 'http://www.w3.org/2000/svg', ...size },
    `\n${inner.join('\n')}\n`,
  );
}

const SVG_TYPE = 'image/svg+xml';

/** @param sheet text of the SVG file */
export const saveSvg = (sheet: string, title: string): void =>
  saveFile(fileName(title, '.svg'), sheet, SVG_TYPE);

/** Dots of the PNG per CSS pixel. */
const FINENESS = 2;

/** Drawn finer than on the screen. @param sheet text of an SVG file. @throws DOMException where it cannot be drawn */
export async function savePng(sheet: string, title: string): Promise<void> {
  const url = URL.createObjectURL(new Blob([sheet], { type: SVG_TYPE }));
  const image = new Image();
  image.src = url;
  await image.decode();
  URL.revokeObjectURL(url);
  const picture = document.createElement('canvas');
  picture.width = image.naturalWidth * FINENESS;
  picture.height = image.naturalHeight * FINENESS;
  picture.getContext('2d')?.drawImage(image, 0, 0, picture.width, picture.height);
  picture.toBlob((blob) => blob && saveFile(fileName(title, '.png'), blob, 'image/png'));
}
